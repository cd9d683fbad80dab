package visits

import (
	"net/url"
	"slices"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/verdict"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

var readingKinds = []web.Option{
	{Value: string(words.Offset), Label: "An offset"},
	{Value: string(words.Span), Label: "A span"},
	{Value: string(words.Distance), Label: "Between two tails"},
}

// Measure is the form for a measurement; after one, it also says what that
// gave.
func (p *Pages) Measure(c echo.Context) error {
	return p.Get(MeasureAt(MeasureFrom{c.QueryParam("position"), c.QueryParam("last"), c.QueryParam("anew")}))(c)
}

// MeasureFrom says where that page begins: with a position, after a reading, or with
// one that was taken back and is read anew; empty for none.
type MeasureFrom struct{ Position, Last, Anew string }

// MeasureAt is that page.
func MeasureAt(from MeasureFrom) kit.Page {
	return sheet(web.Measure, "Measure", func(s *scene) web.MeasureView { return measure(s, from) })
}

func measure(s *scene, from MeasureFrom) web.MeasureView {
	reading := func(text string) *room.Measurement {
		m, err := deed.ByID(s.J.Record.Measurement, text)
		if err != nil {
			return nil // one that is not there gave nothing
		}
		return m
	}
	last, anew := reading(from.Last), reading(from.Anew)
	f := web.MeasureForm{Kind: string(words.Offset), Position: from.Position, By: "tape"}
	s.goOn(&f, last, s.toDo())
	if anew != nil {
		s.anew(&f, anew)
	}
	return s.measureView(f, last)
}

// measured is the form of a reading; afterwards the next one is asked for.
var measured = kit.Post{Kind: deed.KindMeasure, Read: readMeasured, To: func(at web.Place, s *deed.Sent) string {
	return at.Measure() + "?last=" + s.ReadingID(0).String() + "#gave"
}, Mend: func(v kit.Viewer, j *standing.Standing, f *deed.Sent, faults []fault.Field) (web.Filled, error) {
	s := look(v, j, "Measure")
	view := s.measureView(typedReading(f), nil)
	view.Faults = faults
	if view.Asks {
		view.Apart = s.differs(f)
	}
	return web.Measure.Fill(&view), nil
}}

// afterStrike is the page for reading anew what was taken back at once, else the room's. It says
// what was done by itself: a phone that sends the act comes to it too.
func afterStrike(at web.Place, s *deed.Sent) string {
	if s.Get("anew") != "" {
		return at.Measure() + "?done=" + string(deed.KindStrike) + "&anew=" + url.QueryEscape(s.One)
	}
	return at.RoomPage()
}

func (s *scene) measureView(f web.MeasureForm, last *room.Measurement) web.MeasureView {
	v := web.MeasureView{Kinds: readingKinds, Instruments: kit.Instruments, Owed: s.owedReadings(), Steps: s.toDo()}
	on := s.surfaceOf(f.Position)
	for i := range s.J.Record.Positions {
		if q := &s.J.Record.Positions[i]; q.OmittedAt.IsZero() {
			s.offer(&v, q, on < 0 || q.Surface == s.J.Record.Surfaces[on].ID)
		}
	}
	for i := range s.J.Record.Datums {
		if d := &s.J.Record.Datums[i]; on < 0 || d.Surface == s.J.Record.Surfaces[on].ID {
			v.Datums = append(v.Datums, s.datumChoice(d))
		}
	}
	if on >= 0 {
		v.Plan = s.Choosing(on)
		v.SurfaceStates = s.surfaceStates(s.J.Record.Surfaces[on].ID)
	}
	v.Form = f
	s.again(&v, on)
	if last != nil {
		v.Last, v.LastID = verdict.Of(s.J, last), s.Mendable(last)
	}
	switch { // with nothing left to measure the room's own next thing stays
	case len(v.Owed) == 0:
	case last != nil:
		s.Say("Carry on with what is left in this room.")
	default:
		s.Say(v.Owed[0].Says)
	}
	v.Sheet = s.Sheet
	return v
}

// offer puts a position among those to choose from: one of the surface that is
// measured on, with those that owe a reading apart, or one that a page of its
// own leads to.
func (s *scene) offer(v *web.MeasureView, q *room.Position, here bool) {
	pad := web.Option{Value: q.ID.String(), Label: q.Name}
	switch {
	case !here:
		v.Elsewhere = append(v.Elsewhere, q)
		return
	case s.Owed(q.ID) != nil:
		v.Owing = append(v.Owing, pad)
	default:
		v.Settled = append(v.Settled, pad)
	}
	v.Positions = append(v.Positions, web.Option{Value: pad.Value, Label: q.Name + ", " + q.Kind})
}

// surfaceOf is the place of the surface of a position in the room; -1 where
// there is no such position. With one surface it is that one.
func (s *scene) surfaceOf(position string) int {
	for i, on := range s.J.Record.Surfaces {
		for _, q := range s.J.Record.Positions {
			if q.Surface == on.ID && q.ID.String() == position {
				return i
			}
		}
	}
	if len(s.J.Record.Surfaces) == 1 {
		return 0
	}
	return -1
}

// datumChoice is a datum with the states that it can have been in: every layer
// that is planned, and bare. A fixed line has its two sides in their place.
func (s *scene) datumChoice(d *room.Datum) web.DatumChoice {
	out := web.DatumChoice{Value: d.ID.String(), Label: d.Called()}
	layers := s.J.Record.LayersOf(d.Surface, d.ID)
	if d.Kind == words.Line {
		for _, side := range []string{room.LeftSide, room.RightSide} {
			out.States = append(out.States, web.Option{Value: side,
				Label: s.J.Record.SideWords(d.Surface, d.A, d.B, side)})
		}
		return out
	}
	if out.Fixed = d.Kind != words.Face; out.Fixed {
		return out
	}
	out.States = statesOf(layers)
	out.Likely = s.likelyState(d, out.States)
	return out
}

// surfaceStates are the states of a surface itself, where one of its faces
// leans: then they count. Else none.
func (s *scene) surfaceStates(of id.Surface) []web.Option {
	own := s.J.Record.LayersOf(of, id.Datum{})
	leans := slices.ContainsFunc(s.J.Record.Datums, func(d room.Datum) bool { return d.Surface == of && d.Lean != 0 })
	if !leans || len(own) == 0 {
		return nil
	}
	return statesOf(own)
}

// statesOf are the states that layers go through, bare first.
func statesOf(layers []room.Layer) []web.Option {
	out := []web.Option{{Value: roomsheet.Bare, Label: words.StateOf(roomsheet.Bare)}}
	for _, l := range layers {
		out = append(out, web.Option{Value: l.Name, Label: words.StateOf(l.Name)})
	}
	return out
}

// owedReadings is every position that still needs a reading, in order, those that need
// the same together.
func (s *scene) owedReadings() []web.OwedReading {
	var out []web.OwedReading
	for _, q := range s.inOrder(gate.CodeNoRecord, gate.CodeNotChecked) {
		o := s.Owed(q.ID)
		needs := words.Capital(strings.TrimPrefix(o.Wrong, q.Name+" ")) + ". " + o.Mend + "."
		one := web.Option{Value: q.ID.String(), Label: q.Name}
		if i := slices.IndexFunc(out, func(w web.OwedReading) bool { return w.Needs == needs }); i >= 0 {
			out[i].Of = append(out[i].Of, one)
			continue
		}
		out = append(out, web.OwedReading{Of: []web.Option{one}, Needs: needs,
			Says: words.Capital(o.Wrong) + ". " + o.Mend + "."})
	}
	return out
}
