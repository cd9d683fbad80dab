// Package standing holds what the geometry, the gates, the task lists and the
// set-out say of a room at one revision: one value, worked out once for each
// change and read by every page, list, answer, sheet and sign-off.
package standing

import (
	"math"
	"reflect"
	"slices"
	"time"

	"lathmark/domain/advice"
	"lathmark/domain/gate"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Standing is a room with the answers of the geometry and of the gates, at one
// revision. Many read one at once: nobody changes it.
type Standing struct {
	Record *room.Record
	Sheet  *roomsheet.Room
	// Solved runs parallel to Record.Surfaces; it is empty for a room that has
	// none.
	Solved []roomsheet.Solved
	Gate   *gate.Judged
	// Advice is what is said of every hole, parallel to Solved.
	Advice advice.Room
	// Holes are those that are still to be cut, each trade's proof at the head.
	Holes []ToOpen
	// Now is when it was worked out; it holds until the room's revision moves on
	// or, where that is not zero, until Until, when something is dry.
	Now, Until time.Time
	// Seq is the number of the job's last diary entry when the room was looked
	// for, 0 where there was none: whatever is in a later entry is not in here.
	Seq   int64
	where map[id.Position][2]int // surface, place in it
	taken map[id.Measurement][2]int
}

// Of works out how a record stands. Faults: BadInput where it would not be a room.
func Of(r *room.Record, now time.Time) (*Standing, error) { return After(nil, r, now) }

// After is Of for a record that follows on another: where the room sheet is the
// same, so are the answers of the geometry. before may be nil.
func After(before *Standing, r *room.Record, now time.Time) (*Standing, error) {
	r.Sort()
	j := &Standing{Record: r, Sheet: r.Sheet(), Now: now,
		where: map[id.Position][2]int{}, taken: map[id.Measurement][2]int{}}
	if before != nil && reflect.DeepEqual(before.Sheet, j.Sheet) {
		j.Sheet, j.Solved = before.Sheet, before.Solved
	} else {
		if err := check(j.Sheet); err != nil {
			return nil, err
		}
		j.Solved = j.Sheet.Solve()
	}
	j.index()
	j.advise()
	j.Gate = gate.Judge(r, j, now)
	j.Until = j.Gate.Until()
	j.Holes = j.holes()
	return j, nil
}

// check is the room sheet's own, but for a room that has no surface yet.
func check(sheet *roomsheet.Room) error {
	if len(sheet.Surfaces) > 0 {
		return roomsheet.Check(sheet)
	}
	bare := *sheet
	bare.Surfaces = []roomsheet.Surface{{ID: "floor", Kind: "floor"}}
	return roomsheet.Check(&bare)
}

// index notes where in Solved each position and measurement is answered.
func (j *Standing) index() {
	place := map[id.Surface]int{}
	for i, s := range j.Record.Surfaces {
		place[s.ID] = i
	}
	n := make([]int, len(j.Record.Surfaces))
	for _, p := range j.Record.Positions {
		s := place[p.Surface]
		j.where[p.ID] = [2]int{s, n[s]}
		n[s]++
	}
	n = make([]int, len(j.Record.Surfaces))
	for i := range j.Record.Measurements {
		if m := &j.Record.Measurements[i]; m.Stands() {
			s := place[m.Surface]
			j.taken[m.ID] = [2]int{s, n[s]}
			n[s]++
		}
	}
}

// Position returns the geometry's answer for a position, and the surface it is
// of; nil for one that is not in the room.
func (j *Standing) Position(p id.Position) (*geometry.PositionAnswer, *roomsheet.Solved) {
	at, ok := j.where[p]
	if !ok {
		return nil, nil
	}
	s := &j.Solved[at[0]]
	return &s.Answer.Positions[at[1]], s
}

// Measurement returns how a measurement fits; nil for one that was struck out.
func (j *Standing) Measurement(m id.Measurement) *geometry.MeasurementAnswer {
	at, ok := j.taken[m]
	if !ok {
		return nil
	}
	return &j.Solved[at[0]].Answer.Measurements[at[1]]
}

// ReadsAs names the state under which a suspect measurement would fit; empty
// where there is none.
func (j *Standing) ReadsAs(m *room.Measurement) string {
	a := j.Measurement(m.ID)
	if a == nil || !a.Suspect || a.ReadsAs < 0 {
		return ""
	}
	if a.ReadsAs == 0 {
		return roomsheet.Bare
	}
	if layers := j.Record.LayersOf(m.Surface, m.From); a.ReadsAs <= len(layers) {
		return layers[a.ReadsAs-1].Name
	}
	return ""
}

// Obstacles returns the obstacles of a stage.
func (j *Standing) Obstacles(s words.Stage) []gate.Obstacle { return j.Gate.Obstacles(s) }

// SetOut is the set-out of the room, as it goes out.
func (j *Standing) SetOut() *roomsheet.Answer {
	return advice.Outgoing(j.Sheet.Room, j.Solved, j.Advice)
}

// Built returns the thickness of a layer of a face as put on, mm, and how far
// that lies from the plan; see sigmas.
func (j *Standing) Built(of id.Layer) (thickness, off float64) {
	l, err := j.Record.Layer(of)
	if err != nil || l.Datum.IsZero() {
		return 0, 0
	}
	s := slices.IndexFunc(j.Record.Surfaces, func(s room.Surface) bool { return s.ID == l.Surface })
	k := 0
	for _, d := range j.Record.Datums {
		if d.ID == l.Datum {
			break
		}
		if d.Surface == l.Surface {
			k++
		}
	}
	n := slices.IndexFunc(j.Record.LayersOf(l.Surface, l.Datum), func(o room.Layer) bool { return o.ID == of })
	answer := j.Solved[s].Answer.Layers[k][n]
	return answer.Thickness, sigmas(j.Solved[s].Geometry.Datums[k].Layers[n], answer)
}

// sigmas is how far a layer turned out from what was planned, in standard
// deviations of that difference. The adjustment draws the plan and what was
// measured together; the variance of the difference between its answer and the
// plan is the plan's less the answer's. 0 where nothing was learned.
func sigmas(planned geometry.Layer, answer geometry.LayerAnswer) float64 {
	learned := planned.Sigma*planned.Sigma - answer.Sigma*answer.Sigma
	if learned <= 1e-9*planned.Sigma*planned.Sigma {
		return 0
	}
	return (answer.Thickness - planned.Thickness) / math.Sqrt(learned)
}
