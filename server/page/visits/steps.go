package visits

import (
	"encoding/json"
	"math"
	"slices"

	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// step is a reading that is still to do.
type step struct {
	Of   id.Position
	From string // the datum with its state, as the form sends it
	// Round is 0 for the readings that give a position its place, 1 for those that
	// check it: everything has a place before anything is checked.
	Round int
}

// MarshalJSON writes a step as the page's script reads it.
func (t step) MarshalJSON() ([]byte, error) { return json.Marshal([]any{t.Of, t.From, t.Round}) }

// walk puts the readings that are still to do in the order in which somebody takes
// them: each position from the same datums, in the same order, as the one before.
type walk struct {
	*scene
	read  map[id.Position][]id.Datum // from which datums, in the order they were read
	prev  id.Position                // the one before
	steps []step
}

// checked is how many readings it takes for a misread one to show: two each way.
const checked = 4

// toDo returns the readings that are still to do, those of the person's own trade
// first in each round.
func (s *scene) toDo() []step {
	w := &walk{scene: s, read: map[id.Position][]id.Datum{}}
	for i := range s.J.Record.Measurements {
		if m := &s.J.Record.Measurements[i]; m.Stands() && m.Kind == words.Offset && !slices.Contains(w.read[m.Of], m.From) {
			w.read[m.Of] = append(w.read[m.Of], m.From)
		}
	}
	if last := s.lastOf(func(m *room.Measurement) bool { return m.Kind == words.Offset }); last != nil {
		w.prev = last.Of
	}
	for round, codes := range [][]string{{gate.CodeNoRecord}, {gate.CodeNoRecord, gate.CodeNotChecked}} {
		for _, q := range s.inOrder(codes...) {
			w.position(q, round)
		}
	}
	return w.steps
}

// inOrder returns the positions that owe a reading by one of the codes, in the order
// of the codes, the person's own trade first.
func (s *scene) inOrder(codes ...string) (out []*room.Position) {
	own := kit.TradeOf(s.By)
	for _, theirs := range []bool{false, true} {
		for _, code := range codes {
			for i := range s.J.Record.Positions {
				q := &s.J.Record.Positions[i]
				if o := s.Owed(q.ID); o != nil && o.Code == code && theirs == (own != words.Foreman && q.Trade != own) {
					out = append(out, q)
				}
			}
		}
	}
	return out
}

// position adds the steps of a position in a round.
func (w *walk) position(q *room.Position, round int) {
	for first := true; ; first = false {
		has := w.read[q.ID]
		if round == 1 && len(has) >= checked && !first || round == 0 && w.fixed(has) && !first {
			break
		}
		d := w.datum(q, round)
		if d == nil {
			break
		}
		w.read[q.ID] = append(has, d.ID)
		w.steps = append(w.steps, step{q.ID, web.JoinDatum(d.ID.String(), w.stateFor(q, d)), round})
	}
	w.prev = q.ID
}

// datum is the next datum to read a position from: in the order of the position
// before, then as they are drawn; at first one that runs across what it has. Nil where
// none is left.
func (w *walk) datum(q *room.Position, round int) *room.Datum {
	var all []*room.Datum
	for _, of := range w.read[w.prev] {
		if d, err := w.J.Record.Datum(of); err == nil && d.Surface == q.Surface {
			all = append(all, d)
		}
	}
	for _, kind := range []words.DatumKind{words.Face, words.Line} {
		for i := range w.J.Record.Datums {
			if d := &w.J.Record.Datums[i]; d.Surface == q.Surface && d.Kind == kind {
				all = append(all, d)
			}
		}
	}
	has := w.read[q.ID]
	var other *room.Datum
	for _, d := range all {
		switch {
		case slices.Contains(has, d.ID):
		case round == 1 || len(has) == 0 || w.fixed(append(slices.Clone(has), d.ID)):
			return d
		case other == nil:
			other = d
		}
	}
	return other
}

// fixed reports whether two of the datums run well across each other.
func (w *walk) fixed(by []id.Datum) bool {
	for i, a := range by {
		for _, b := range by[:i] {
			d, errD := w.J.Record.Datum(a)
			e, errE := w.J.Record.Datum(b)
			if errD == nil && errE == nil && crosses(d, e) {
				return true
			}
		}
	}
	return false
}

// crosses reports whether two datums run across each other by 30 degrees or more. A
// point has no direction; with one it is a matter of where the position is.
func crosses(d, e *room.Datum) bool {
	if d.Kind == words.Point || e.Kind == words.Point {
		return true
	}
	u, v := [2]float64{d.B[0] - d.A[0], d.B[1] - d.A[1]}, [2]float64{e.B[0] - e.A[0], e.B[1] - e.A[1]}
	return math.Abs(u[0]*v[1]-u[1]*v[0]) > 0.5*math.Hypot(u[0], u[1])*math.Hypot(v[0], v[1])
}

// stateFor is the state that a datum is likely to be in; of a fixed line the side on
// which the position is wanted, else that of the person's last reading from it.
func (s *scene) stateFor(q *room.Position, d *room.Datum) string {
	if d.Kind != words.Line {
		return s.likelyState(d, s.datumChoice(d).States)
	}
	if p := q.Planned; p != nil {
		return room.SideOf((d.B[0]-d.A[0])*(p[1]-d.A[1]) - (d.B[1]-d.A[1])*(p[0]-d.A[0]))
	}
	if m := s.lastOf(func(m *room.Measurement) bool { return m.From == d.ID }); m != nil {
		return room.SideOf(m.Value)
	}
	return room.LeftSide
}

// next is the step that comes after a reading, nil for the first: the same position's
// where it has one in the round that is on, else the next position's. Somebody who goes
// along one wall from position to position goes on along it.
func (s *scene) next(steps []step, last *room.Measurement) step {
	if len(steps) == 0 || last == nil {
		return slices.Concat(steps, []step{{}})[0]
	}
	on := slices.DeleteFunc(slices.Clone(steps), func(t step) bool { return t.Round != steps[0].Round })
	after := slices.IndexFunc(s.J.Record.Positions, func(q room.Position) bool { return q.ID == last.Of })
	later := func(t step) bool {
		return slices.IndexFunc(s.J.Record.Positions, func(q room.Position) bool { return q.ID == t.Of }) > after
	}
	along := s.alongWall(last)
	for _, fits := range []func(step) bool{
		func(t step) bool { return along && s.from(t) == last.From && later(t) },
		func(t step) bool { return along && s.from(t) == last.From },
		func(t step) bool { return t.Of == last.Of },
		later,
	} {
		if i := slices.IndexFunc(on, fits); i >= 0 {
			return on[i]
		}
	}
	return on[0]
}

func (s *scene) from(t step) id.Datum {
	d, _ := web.SplitDatum(t.From)
	of, _ := id.Parse[id.Datum](d) // it is one of the record's
	return of
}

// alongWall reports whether a reading and the person's last before it are of two
// positions from one datum.
func (s *scene) alongWall(last *room.Measurement) bool {
	before := s.lastOf(func(m *room.Measurement) bool {
		return m.ID != last.ID && m.Kind == words.Offset && !m.TakenAt.After(last.TakenAt)
	})
	return before != nil && before.From == last.From && before.Of != last.Of
}
