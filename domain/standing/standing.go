// Package standing holds what the geometry, the gates, the task lists and the
// set-out say of a room at one revision: one value, worked out once for each
// change and read by every page, list, answer, sheet and sign-off.
package standing

import (
	"math"
	"reflect"
	"time"

	"lathmark/domain/caution"
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
	// Holes are those that are still to be cut, the one to open first at the head.
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
	j.Gate = gate.Judge(j.record(), now)
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
	out := &roomsheet.Answer{Format: roomsheet.AnswerFormat, Room: j.Sheet.Room, Surfaces: []roomsheet.SurfaceAnswer{}}
	for i := range j.Solved {
		out.Surfaces = append(out.Surfaces, j.Solved[i].Outgoing())
	}
	return out
}

// record is the room as the rules of the gates take it.
func (j *Standing) record() *gate.Record {
	r := j.Record
	out := &gate.Record{Room: r.Name, Gates: r.States()}
	photos := r.PhotosWhileOpen()
	for _, s := range r.Surfaces {
		out.Surfaces = append(out.Surfaces, gate.Surface{ID: gate.SurfaceID(s.ID.String()), Name: s.Name,
			Photos: photos[s.ID]})
	}
	for i := range r.Surfaces {
		k := 0
		for _, d := range r.Datums {
			if d.Surface == r.Surfaces[i].ID {
				out.Datums = append(out.Datums, j.datum(&d, i, k))
				k++
			}
		}
	}
	for i := range r.Positions {
		out.Positions = append(out.Positions, j.position(&r.Positions[i]))
	}
	for i := range r.Measurements {
		if m := &r.Measurements[i]; m.Stands() {
			out.Measurements = append(out.Measurements, j.measurement(m))
		}
	}
	j.later(out)
	return out
}

// datum is datum k of surface i.
func (j *Standing) datum(d *room.Datum, i, k int) gate.Datum {
	out := gate.Datum{ID: gate.DatumID(d.ID.String()), Surface: gate.SurfaceID(d.Surface.String()), Name: d.Name,
		Kind: d.Kind, StaysBare: d.StaysBare}
	for n, l := range j.Record.LayersOf(d.Surface, d.ID) {
		g := gate.Layer{ID: gate.LayerID(l.ID.String()), Name: l.Name, Stage: l.Stage, Planned: l.Thickness,
			AsBuilt: j.Record.BuiltOf(l.ID) != nil}
		answer := j.Solved[i].Answer.Layers[k][n]
		planned := j.Solved[i].Geometry.Datums[k].Layers[n]
		g.Built, g.Sigmas = answer.Thickness, sigmas(planned, answer)
		out.Layers = append(out.Layers, g)
	}
	return out
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

func (j *Standing) position(p *room.Position) gate.Position {
	out := gate.Position{ID: gate.PositionID(p.ID.String()), Surface: gate.SurfaceID(p.Surface.String()), Name: p.Name,
		Kind:  p.Kind,
		Trade: p.Trade, Cutout: p.Cutout, AddedAt: p.AddedAt, Held: p.Held, HeldWhy: p.HeldWhy, OmittedAt: p.OmittedAt}
	if seen := j.Record.SeenOf(p.ID); seen != nil {
		out.SeenFree = seen.At
	}
	a, s := j.Position(p.ID)
	out.Determinate, out.Ambiguous, out.Checked = a.Determinate, len(a.Ambiguous) > 0, a.Checked
	for k, t := range a.Timbers {
		if t.Hit > out.Hit {
			out.Hit, out.HitTimber = t.Hit, s.Surface.Timbers[k].ID
		}
	}
	if a.Clears {
		out.Move = math.Hypot(a.Move.U, a.Move.V)
	}
	return out
}

func (j *Standing) measurement(m *room.Measurement) gate.Measurement {
	out := gate.Measurement{ID: gate.MeasurementID(m.ID.String()), Kind: m.Kind, Position: gate.PositionID(m.Of.String()),
		To: gate.PositionID(m.ToPosition.String()), Suspect: j.Measurement(m.ID).Suspect, ReadsAs: j.ReadsAs(m)}
	if !m.From.IsZero() {
		out.Ends = append(out.Ends, gate.End{Datum: gate.DatumID(m.From.String()), State: m.State})
	}
	if !m.To.IsZero() {
		out.Ends = append(out.Ends, gate.End{Datum: gate.DatumID(m.To.String()), State: m.ToState})
	}
	return out
}

// later fills in what the stages after first fix leave behind.
func (j *Standing) later(out *gate.Record) {
	r := j.Record
	for _, o := range r.Openings {
		g := gate.Opening{ID: gate.OpeningID(o.ID.String()), Position: gate.PositionID(o.Position.String()), At: o.At,
			Outcome:     o.Outcome,
			NewPosition: gate.PositionID(o.NewPosition.String())}
		if p := r.PatchOf(o.ID); p != nil {
			g.Patch = &gate.Patch{FilledAt: p.FilledAt, DryAt: p.DryAt}
		}
		out.Openings = append(out.Openings, g)
		if !o.Outcome.Lost() && (out.FirstProved.IsZero() || o.RecordedAt.Before(out.FirstProved)) {
			out.FirstProved = o.RecordedAt
		}
	}
	for _, s := range r.Snags {
		out.Snags = append(out.Snags, gate.Snag{ID: gate.SnagID(s.ID.String()), Text: s.Says, Trade: s.Trade,
			Closed: s.ClosedAt})
	}
	if f := r.FinishedOf(words.Plaster); f != nil {
		out.PlasterFinished = f.On
		if thick := wetCoat(r); thick > 0 {
			out.EarliestDry = caution.Dry(caution.CoatOf(thick), thick, f.On).Earliest
		}
	}
}

// wetCoat is the thickest coat of plaster planned on one face of the room, mm;
// 0 where none is. Tiles and what holds them do not wait for paint.
func wetCoat(r *room.Record) float64 {
	most := 0.0
	type face struct {
		surface id.Surface
		datum   id.Datum
	}
	sums := map[face]float64{}
	for _, l := range r.Layers {
		if l.Stage != words.Plaster || words.IsTile(l.Name) {
			continue
		}
		sums[face{l.Surface, l.Datum}] += l.Thickness
		most = math.Max(most, sums[face{l.Surface, l.Datum}])
	}
	return most
}
