package typed

import (
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
)

// Tails reads where the tail of a position really was. Fields: off_a and off_b,
// from the datums from_a and from_b on their sides side_a and side_b. A form
// without those is of the two datums that the hole is marked from as the room
// stands; it must be markable. Each tail's id is made from its number, 1 or 2.
func (f Form) Tails(j *room.Judged, q *room.Position, made func(n int) id.Measurement) []stage.TailAt {
	var out []stage.TailAt
	for k, which := range []string{"a", "b"} {
		if f.Get("off_"+which) == "" {
			continue
		}
		from, side := markedFrom(j, q, k)
		if given := f.Get("from_" + which); given != "" {
			from, _ = Datum(given)
			side = f.Get("side_" + which)
		}
		out = append(out, stage.TailAt{ID: made(1 + k), From: from, Value: room.WithSide(f.Number("off_"+which), side), By: "tape"})
	}
	return out
}

// markedFrom is the datum that offset k of a hole is marked from, and the side
// of a fixed line that the hole lies on.
func markedFrom(j *room.Judged, q *room.Position, k int) (of id.Datum, side string) {
	a, solved := j.Position(q.ID)
	if a.Mark == nil {
		return of, ""
	}
	called := solved.Surface.Datums[a.Mark.From[k]].ID
	for _, d := range j.Record.Datums {
		if d.Surface == q.Surface && d.Name == called {
			side = room.LeftSide
			if d.Kind == gate.Line {
				side = room.SideOf(a.Plan.Offsets[k])
			}
			return d.ID, side
		}
	}
	return of, ""
}
