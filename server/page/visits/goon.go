package visits

import (
	"slices"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"
)

// goOn begins a form for a reading where the person who asks left off: with the
// instrument and the state of the last reading, the position that owes the next
// one, and the datum it is likely to be taken from. last is the reading that
// was just put on record; nil where the page is opened anew.
func (s *scene) goOn(f *web.MeasureForm, last *room.Measurement, owed []web.OwedReading) {
	before := last
	if before == nil {
		before = s.lastOf(func(m *room.Measurement) bool { return true })
	}
	if before != nil {
		f.By, f.SurfaceState = before.By, before.SurfaceState
	}
	if f.Position == "" && len(owed) > 0 {
		f.Position = owed[0].ID
		if last != nil && s.noLessOwed(last.Of, owed[0].ID) {
			f.Position = last.Of.String()
		}
	}
	if m := s.likely(f.Position); m != nil && f.Kind == string(words.Offset) {
		f.Datum, f.State = m.From.String(), m.State
		if d, err := s.J.Record.Datum(m.From); err == nil && d.Kind == words.Line {
			f.State = room.SideOf(m.Value)
		}
	}
}

// noLessOwed reports whether a position owes a reading as much as the first on
// the list: then it is stayed with. One that has a place leaves those that have
// none before it.
func (s *scene) noLessOwed(of id.Position, first string) bool {
	its := s.Owed(of)
	if its == nil {
		return false
	}
	head, err := id.Parse[id.Position](first)
	if err != nil {
		return false
	}
	other := s.Owed(head)
	return other != nil && its.Code == other.Code
}

// likely is an earlier reading from the datum that the next one of a position
// is likely to be taken from: of those that the person used, the last that this
// position has no reading from, for people go round the same walls position by
// position; else the last. Nil where there is none.
func (s *scene) likely(position string) *room.Measurement {
	on := s.surfaceOf(position)
	if on < 0 {
		return nil
	}
	has := map[id.Datum]bool{}
	for _, m := range s.J.Record.Measurements {
		if m.Stands() && m.Kind == words.Offset && m.Of.String() == position {
			has[m.From] = true
		}
	}
	here := func(m *room.Measurement) bool {
		return m.Kind == words.Offset && m.Surface == s.J.Record.Surfaces[on].ID
	}
	if m := s.lastOf(func(m *room.Measurement) bool { return here(m) && !has[m.From] }); m != nil {
		return m
	}
	return s.lastOf(here)
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
