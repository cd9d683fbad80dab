package deed

import (
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Tails reads where the tail of a position really was. Fields: off_a and off_b,
// from the datums from_a and from_b on their sides side_a and side_b, in the
// states state_a and state_b: what the person had on the page, though the best
// two datums may be others by now. A form without those is of the two that the
// hole is marked from as the room stands. Each tail's id is made from its
// number, 1 or 2.
func (f *Form) Tails(j *standing.Standing, q *room.Position) []TailAt {
	var out []TailAt
	for k, which := range []string{"a", "b"} {
		if f.Get("off_"+which) != "" {
			out = append(out, f.tail(j, MarkedFrom(j, q, k), which, f.ReadingID(1+k)))
		}
	}
	return out
}

func (f *Form) tail(j *standing.Standing, m Mark, which string, as id.Measurement) TailAt {
	if given := f.Get("from_" + which); given != "" {
		m.Datum, m.State = Datum(given)
		m.Side = f.Get("side_" + which)
		if state := f.Get("state_" + which); state != "" {
			m.State = state
		}
	}
	if m.Datum.IsZero() {
		f.Bad("off_"+which, "it does not say from what", "Open the page once more and give it there")
	}
	out := TailAt{ID: as, From: m.Datum, State: m.State, Value: f.Number("off_" + which), By: "tape"}
	if d, err := j.Record.Datum(m.Datum); err == nil && d.Kind != words.Face {
		out.Value, out.State = room.WithSide(out.Value, m.Side), ""
	}
	return out
}

// Mark is what an offset of a hole is marked from.
type Mark struct {
	Datum id.Datum
	Side  string // of a fixed line: the one that the hole lies on
	State string // of a face: the outermost layer that is on
}

// MarkedFrom is what offset k of a hole, 0 or 1, is marked from as the room
// stands; the zero Mark where the hole cannot be marked.
func MarkedFrom(j *standing.Standing, q *room.Position, k int) Mark {
	a, solved := j.Position(q.ID)
	if a == nil || a.Mark == nil {
		return Mark{}
	}
	called := solved.Surface.Datums[a.Mark.From[k]].ID
	for _, d := range j.Record.Datums {
		if d.Surface != q.Surface || d.Name != called {
			continue
		}
		m := Mark{Datum: d.ID, Side: room.LeftSide}
		switch d.Kind {
		case words.Line:
			m.Side = room.SideOf(a.Plan.Offsets[k])
		case words.Face:
			m.State = j.Record.Now(j.Record.LayersOf(d.Surface, d.ID))
		}
		return m
	}
	return Mark{}
}
