package visits

import (
	"slices"

	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"
)

// goOn begins a form for a reading where the person who asks left off: with the
// instrument and the surface's state of the last reading, and the step that comes next.
// last is the reading that was just recorded; nil where the page is opened anew. A
// position that is chosen already stays.
func (s *scene) goOn(f *web.MeasureForm, last *room.Measurement, steps []step) {
	before := last
	if before == nil {
		before = s.lastOf(func(m *room.Measurement) bool { return true })
	}
	if before != nil {
		f.By, f.SurfaceState = before.By, before.SurfaceState
	}
	next := s.next(steps, before)
	if f.Position != "" {
		next = step{}
		if i := slices.IndexFunc(steps, func(t step) bool { return t.Of.String() == f.Position }); i >= 0 {
			next = steps[i]
		}
	} else if !next.Of.IsZero() {
		f.Position = next.Of.String()
	}
	f.Datum, f.State = web.SplitDatum(next.From)
}

// anew begins a form where a reading that was taken back is read anew.
func (s *scene) anew(f *web.MeasureForm, m *room.Measurement) {
	f.Kind, f.By, f.SurfaceState, f.Position = string(m.Kind), m.By, m.SurfaceState, m.Of.String()
	f.Datum, f.State, f.To, f.ToState = m.From.String(), m.State, m.To.String(), m.ToState
	if d, err := s.J.Record.Datum(m.From); err == nil && d.Kind == words.Line {
		f.State = room.SideOf(m.Value)
	}
	if m.Kind == words.Distance {
		f.To = m.ToPosition.String()
	}
}

// lastOf is the person's last reading that fits, of the stage in hand: what was
// taken before the boards says nothing of the wall's state behind them.
func (s *scene) lastOf(fits func(*room.Measurement) bool) *room.Measurement {
	now, _ := s.J.Record.InHand()
	var out *room.Measurement
	for i := range s.J.Record.Measurements {
		m := &s.J.Record.Measurements[i]
		if m.TakenBy == s.By.ID && m.Stage == now && m.Stands() && fits(m) && (out == nil || !m.TakenAt.Before(out.TakenAt)) {
			out = m
		}
	}
	return out
}

// likelyState is the state that a face is in now, as far as anybody said: that
// of the person's last reading, where the face can be in it, else what is on
// record.
func (s *scene) likelyState(d *room.Datum, states []web.Option) string {
	if d.Kind != words.Face || len(states) == 0 {
		return ""
	}
	last := s.lastOf(func(m *room.Measurement) bool { return m.State != "" })
	if last != nil && slices.ContainsFunc(states, func(o web.Option) bool { return o.Value == last.State }) {
		return last.State
	}
	return s.J.Record.Now(s.J.Record.LayersOf(d.Surface, d.ID))
}
