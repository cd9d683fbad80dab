package page

import (
	"net/http"
	"slices"
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/verdict"
	"lathmark/domain/words"
	"lathmark/web"
	"lathmark/web/drawing"

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
	s, err := p.scene(c, "Measure")
	if err != nil {
		return err
	}
	f := web.MeasureForm{Kind: string(words.Offset), Position: c.QueryParam("position"), By: "tape"}
	var last *room.Measurement
	if of, err := id.Parse[id.Measurement](c.QueryParam("last")); err == nil {
		last, _ = s.j.Record.Measurement(of) // one that is not there gave nothing
	}
	s.goOn(&f, last, s.owedReadings())
	return Draw(c, http.StatusOK, web.Measure, s.measureView(f, last))
}

func (s *scene) measureView(f web.MeasureForm, last *room.Measurement) web.MeasureView {
	v := web.MeasureView{Kinds: readingKinds, Instruments: instruments, Owed: s.owedReadings()}
	on := s.surfaceOf(f.Position)
	for i := range s.j.Record.Positions {
		if q := &s.j.Record.Positions[i]; q.OmittedAt.IsZero() {
			s.offer(&v, q, on < 0 || q.Surface == s.j.Record.Surfaces[on].ID)
		}
	}
	for i := range s.j.Record.Datums {
		if d := &s.j.Record.Datums[i]; on < 0 || d.Surface == s.j.Record.Surfaces[on].ID {
			v.Datums = append(v.Datums, s.datumChoice(d))
		}
	}
	if on >= 0 {
		v.Plan = s.drawn(on, drawing.Record)
		v.SurfaceStates = s.surfaceStates(s.j.Record.Surfaces[on].ID)
	}
	v.Form = f
	switch {
	case last != nil:
		v.Last = s.measured(last)
		s.say("Go on with what is still owed in this room.")
	case len(v.Owed) > 0:
		s.say(v.Owed[0].Name + " " + words.Lower(v.Owed[0].Needs))
	default:
		s.say("No position owes a reading here.")
	}
	v.Sheet = s.sheet
	return v
}

// offer puts a position among those to choose from: one of the surface that is
// measured on, with those that owe a reading apart, or one that a page of its
// own leads to.
func (s *scene) offer(v *web.MeasureView, q *room.Position, here bool) {
	pad := web.Option{Value: q.ID.String(), Label: q.Name}
	switch {
	case !here:
		v.Elsewhere = append(v.Elsewhere, web.Leaf{ID: pad.Value, Name: q.Name})
		return
	case s.owed(q.ID) != nil:
		v.Owing = append(v.Owing, pad)
	default:
		v.Settled = append(v.Settled, pad)
	}
	v.Positions = append(v.Positions, web.Option{Value: pad.Value, Label: q.Name + ", " + q.Kind})
}

// surfaceOf is the place of the surface of a position in the room; -1 where
// there is no such position. With one surface it is that one.
func (s *scene) surfaceOf(position string) int {
	for i, on := range s.j.Record.Surfaces {
		for _, q := range s.j.Record.Positions {
			if q.Surface == on.ID && q.ID.String() == position {
				return i
			}
		}
	}
	if len(s.j.Record.Surfaces) == 1 {
		return 0
	}
	return -1
}

// datumChoice is a datum with the states that it can have been in: every layer
// that is planned, and bare. A fixed line has its two sides in their place.
func (s *scene) datumChoice(d *room.Datum) web.DatumChoice {
	out := web.DatumChoice{Value: d.ID.String(), Label: datumName(d)}
	layers := s.j.Record.LayersOf(d.Surface, d.ID)
	if d.Kind == words.Line {
		out.States = lineSides(s.j.Record, d)
		return out
	}
	if out.Fixed = d.Kind != words.Face; out.Fixed || len(layers) == 0 {
		return out
	}
	out.States = []web.Option{{Value: roomsheet.Bare, Label: words.StateOf(roomsheet.Bare)}}
	for _, l := range layers {
		out.States = append(out.States, web.Option{Value: l.Name, Label: words.StateOf(l.Name)})
	}
	out.Likely = s.likelyState(d, out.States)
	return out
}

// surfaceStates are the states of a surface itself, where one of its faces
// leans: then they count. Else none.
func (s *scene) surfaceStates(of id.Surface) []web.Option {
	own := s.j.Record.LayersOf(of, id.Datum{})
	leans := slices.ContainsFunc(s.j.Record.Datums, func(d room.Datum) bool { return d.Surface == of && d.Lean != 0 })
	if !leans || len(own) == 0 {
		return nil
	}
	out := []web.Option{{Value: roomsheet.Bare, Label: words.StateOf(roomsheet.Bare)}}
	for _, l := range own {
		out = append(out, web.Option{Value: l.Name, Label: words.StateOf(l.Name)})
	}
	return out
}

// owedReadings is every position that still needs a reading, those of the
// person's own trade first, and of them those without a place.
func (s *scene) owedReadings() []web.OwedReading {
	var out []web.OwedReading
	own := tradeOf(s.by)
	for _, theirs := range []bool{false, true} {
		for _, code := range []string{"no_record", "not_checked"} {
			for _, q := range s.j.Record.Positions {
				if o := s.owed(q.ID); o != nil && o.Code == code && theirs == (own != words.Foreman && q.Trade != own) {
					needs := words.Capital(strings.TrimPrefix(o.Wrong, q.Name+" "))
					out = append(out, web.OwedReading{ID: q.ID.String(), Name: q.Name, Needs: needs + ". " + o.Mend + "."})
				}
			}
		}
	}
	return out
}

// measured is what a reading gave.
func (s *scene) measured(m *room.Measurement) *web.Measured {
	v := verdict.Of(s.j, m)
	out := &web.Measured{ID: s.mendable(m), Position: v.Position, Reading: v.Reading, Placed: v.Placed,
		PlusMinus: v.PlusMinus,
		Checked:   v.Checked, Needs: v.Owed, Question: v.Question, Doubt: v.Doubt}
	if v.Placed {
		out.U, out.FromU = v.From[0].Value, v.From[0].Says
		out.V, out.FromV = v.From[1].Value, v.From[1].Says
	}
	return out
}

// datumToday is a datum of a surface, by its name in the room sheet, and its
// state today in words; no words for what no layer covers.
func (s *scene) datumToday(surface id.Surface, called string) (name, state string) {
	for i := range s.j.Record.Datums {
		d := &s.j.Record.Datums[i]
		if d.Surface != surface || d.Name != called {
			continue
		}
		layers := s.j.Record.LayersOf(d.Surface, d.ID)
		if d.Kind == words.Face {
			state = words.StateOf(s.j.Record.Now(layers))
		}
		return datumName(d), state
	}
	return called, ""
}
