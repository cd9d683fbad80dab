package page

import (
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/visit"
	"lathmark/domain/words"
	"lathmark/web"
)

// sent is an act's form being read.
type sent struct {
	*form
	at web.Place
	// one is the part of the form's address that names a record or a stage.
	one string
	// j is the room, for forms that cannot be read without it; else nil.
	j *standing.Standing
}

// actForm says how the form of one kind of act is read. It is the form of a
// page, and it is read as the page's handler reads it.
type actForm struct {
	// at is the address that it posts to.
	at func(at web.Place, one string) string
	// room: it cannot be read without the room.
	room bool
	// read returns what it says. What is wrong with it is noted in the form.
	read func(s *sent) (visit.Deed, error)
	// fields returns the service's faults the names of the form's fields.
	fields func([]fault.Field) []fault.Field
	// on is the page to look at next.
	on func(*sent) string
}

// here leaves the one record out of an address that names none.
func here(at func(web.Place) string) func(web.Place, string) string {
	return func(p web.Place, _ string) string { return at(p) }
}

// to is a page that does not depend on what was done.
func to(at func(web.Place) string) func(*sent) string {
	return func(s *sent) string { return at(s.at) }
}

// wholly returns a reader that cannot fail but by what it notes in the form.
func wholly[D visit.Deed](read func(*form) D) func(*sent) (visit.Deed, error) {
	return func(s *sent) (visit.Deed, error) { return read(s.form), nil }
}

// named returns a reader of a form without fields: its address says it all.
func named[T ~[16]byte](deed func(T) visit.Deed) func(*sent) (visit.Deed, error) {
	return func(s *sent) (visit.Deed, error) {
		one, err := id.Parse[T](s.one)
		return deed(one), err
	}
}

func asNamed(pairs ...string) func([]fault.Field) []fault.Field {
	return func(fields []fault.Field) []fault.Field { return renamed(fields, pairs...) }
}

// actForms are all kinds of acts.
var actForms = map[visit.Kind]actForm{
	visit.KindMeasure: {here(web.Place.Measure), false, wholly((*form).newReading), onReadingForm, func(s *sent) string {
		return s.at.Measure() + "?last=" + newID[id.Measurement](s.form, 0).String()
	}},
	visit.KindCorrect:  {web.Place.Reading, true, (*sent).correction, onReadingForm, to(web.Place.RoomPage)},
	visit.KindStrike:   {web.Place.StrikeReading, false, (*sent).strike, asNamed(), to(web.Place.RoomPage)},
	visit.KindSeeTails: {here(web.Place.Tails), false, wholly(tailsOf), asNamed(), to(web.Place.Tails)},
	visit.KindPutOn: {here(web.Place.AsBuilt), true, func(s *sent) (visit.Deed, error) {
		return putOnOf(s.form, s.j.Record), nil
	}, onPutOnForm, to(web.Place.AsBuilt)},
	visit.KindFinish: {here(web.Place.Finished), false, wholly(finishOf), asNamed("on", "date"), to(web.Place.Finished)},
	visit.KindOpen:   {web.Place.Outcome, true, (*sent).hole, onHoleForm, to(web.Place.Holes)},
	visit.KindOwe:    {here(web.Place.Patches), false, wholly(owedOf), asNamed(), to(web.Place.Patches)},
	visit.KindFill: {web.Place.PatchFilled, false,
		named(func(o id.Opening) visit.Deed { return visit.FillPatch{Opening: o} }),
		asNamed(), to(web.Place.Patches)},
	visit.KindDry: {web.Place.PatchDry, false, named(func(o id.Opening) visit.Deed { return visit.DryPatch{Opening: o} }),
		asNamed(), to(web.Place.Patches)},
	visit.KindSnag: {here(web.Place.Snags), false, wholly(snagOf), asNamed("says", "what"), to(web.Place.Snags)},
	visit.KindSnagDone: {web.Place.SnagDone, false, named(func(n id.Snag) visit.Deed { return visit.CloseSnag{Snag: n} }),
		asNamed(), to(web.Place.Snags)},
	visit.KindOffer: {web.Place.Offer, false, func(s *sent) (visit.Deed, error) {
		of, err := stageNamed(s.one)
		return visit.Offer{Stage: of}, err
	}, asNamed(), func(s *sent) string { return s.at.Gate(s.one) }},
}

func (s *sent) correction() (visit.Deed, error) {
	of, err := id.Parse[id.Measurement](s.one)
	if err != nil {
		return nil, err
	}
	old, err := s.j.Record.Measurement(of)
	if err != nil {
		return nil, err
	}
	return visit.Correct{Reading: s.typed().Amended(old)}, nil
}

func (s *sent) strike() (visit.Deed, error) {
	of, err := id.Parse[id.Measurement](s.one)
	return visit.Strike{Measurement: of, Why: s.Get("reason")}, err
}

func (s *sent) hole() (visit.Deed, error) {
	of, err := id.Parse[id.Position](s.one)
	if err != nil {
		return nil, err
	}
	q, err := s.j.Record.Position(of)
	if err != nil {
		return nil, err
	}
	return visit.OpenHole{Hole: holeOf(s.form, s.j, q)}, nil
}

// oneIn returns the part of an address that stands where a pattern has ":one",
// "" where the pattern has none; ok reports whether the address is of the pattern.
func oneIn(pattern, path string) (one string, ok bool) {
	want, got := strings.Split(pattern, "/"), strings.Split(path, "/")
	if len(want) != len(got) {
		return "", false
	}
	for i, part := range want {
		if part == ":one" {
			one = got[i]
		} else if part != got[i] {
			return "", false
		}
	}
	return one, true
}

// stageNamed reads a stage as it stands in an address.
func stageNamed(text string) (words.Stage, error) {
	s, err := words.ParseStage(strings.ReplaceAll(text, "-", "_"))
	if err != nil {
		return s, &fault.Error{Kind: fault.NotFound, Msg: "There is no such stage.", Err: err}
	}
	return s, nil
}
