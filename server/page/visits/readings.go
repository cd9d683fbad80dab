package visits

import (
	"math"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// Reading is the form that puts one reading right, or strikes it out.
func Reading(v kit.Viewer, j *standing.Standing, one string) (web.Filled, error) {
	view, err := look(v, j, "Correct a reading").reading(one)
	return web.Reading.Fill(&view), err
}

func (s *scene) reading(one string) (v web.ReadingView, err error) {
	of, err := id.Parse[id.Measurement](one)
	if err != nil {
		return v, err
	}
	m, err := s.J.Record.Measurement(of)
	if err != nil {
		return v, err
	}
	s.Say("Correct it, or strike it out with the reason. What it said before stays in the diary.")
	s.Sheet.Token = kit.WithVersion(s.Sheet.Token, m.Version)
	v = web.ReadingView{Sheet: s.Sheet, ReadingID: m.ID.String(), Row: s.Measurement(m), Instruments: kit.Instruments,
		Form: web.MeasureForm{Kind: string(m.Kind), Datum: m.From.String(), State: m.State, To: m.To.String(),
			ToState: m.ToState, Value: kit.Figure(m.Value), By: m.By, SurfaceState: m.SurfaceState}}
	if d, err := s.J.Record.Datum(m.From); err == nil && d.Kind == words.Line {
		v.Form.State, v.Form.Value = room.SideOf(m.Value), kit.Figure(math.Abs(m.Value))
	}
	if d, err := s.J.Record.Datum(m.To); err == nil && d.Kind == words.Line {
		v.Form.ToState = room.LeftSide
	}
	for i := range s.J.Record.Datums {
		if d := &s.J.Record.Datums[i]; d.Surface == m.Surface {
			v.Datums = append(v.Datums, s.datumChoice(d))
		}
	}
	v.SurfaceStates = s.surfaceStates(m.Surface)
	return v, nil
}

// correctedAgain is the form with a reading that was put right wrongly.
func correctedAgain(v kit.Viewer, j *standing.Standing, f *deed.Sent, faults []fault.Field) (web.Filled, error) {
	view, err := look(v, j, "Correct a reading").reading(f.One)
	view.Form, view.Faults = typedReading(f), faults
	return web.Reading.Fill(&view), err
}

// typedReading is a reading as typed, to be shown again.
func typedReading(f *deed.Sent) web.MeasureForm {
	out := web.MeasureForm{Kind: f.Get("kind"), Position: f.Get("position"), Value: f.Get("value"), By: f.Get("by"),
		SurfaceState: f.Get("surface_state"), Again: f.Get("again")}
	out.Datum, out.State = web.SplitDatum(f.Get("datum"))
	switch out.Kind {
	case string(words.Span):
		out.To, out.ToState = web.SplitDatum(f.Get("to"))
	case string(words.Distance):
		out.To = f.Get("to_position")
	}
	return out
}
