package room

import (
	"math"
	"strings"
	"time"

	"lathmark/domain/gate"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Judged is a room with the answers of the geometry and of the gates, at one
// time. Solved runs parallel to Record.Surfaces; it is empty for a room that
// has none.
type Judged struct {
	Record *Record
	Sheet  *roomsheet.Room
	Solved []roomsheet.Solved
	Gate   *gate.Record
	Now    time.Time
	where  map[id.Position][2]int // surface, place in it
	taken  map[id.Measurement][2]int
}

// DryAfter returns the first day on which plaster of a thickness in mm, finished
// on a day, can be dry.
type DryAfter func(thickness float64, finished time.Time) time.Time

// judge puts a record and its answers together.
func judge(r *Record, solved []roomsheet.Solved, sheet *roomsheet.Room, dry DryAfter, now time.Time) *Judged {
	j := &Judged{Record: r, Sheet: sheet, Solved: solved, Now: now,
		where: map[id.Position][2]int{}, taken: map[id.Measurement][2]int{}}
	place := map[id.Surface]int{}
	for i, s := range r.Surfaces {
		place[s.ID] = i
	}
	n := make([]int, len(r.Surfaces))
	for _, p := range r.Positions {
		s := place[p.Surface]
		j.where[p.ID] = [2]int{s, n[s]}
		n[s]++
	}
	n = make([]int, len(r.Surfaces))
	for i := range r.Measurements {
		if m := &r.Measurements[i]; m.Stands() {
			s := place[m.Surface]
			j.taken[m.ID] = [2]int{s, n[s]}
			n[s]++
		}
	}
	j.Gate = j.record(dry)
	return j
}

// Position returns the geometry's answer for a position, and the surface it is
// of; nil for one that is not in the room.
func (j *Judged) Position(p id.Position) (*geometry.PositionAnswer, *roomsheet.Solved) {
	at, ok := j.where[p]
	if !ok {
		return nil, nil
	}
	s := &j.Solved[at[0]]
	return &s.Answer.Positions[at[1]], s
}

// Measurement returns how a measurement fits; nil for one that was struck out.
func (j *Judged) Measurement(m id.Measurement) *geometry.MeasurementAnswer {
	at, ok := j.taken[m]
	if !ok {
		return nil
	}
	return &j.Solved[at[0]].Answer.Measurements[at[1]]
}

// ReadsAs names the state under which a suspect measurement would fit; empty
// where there is none.
func (j *Judged) ReadsAs(m *Measurement) string {
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
func (j *Judged) Obstacles(s words.Stage) []gate.Obstacle { return gate.Obstacles(j.Gate, s, j.Now) }

// SetOut is the set-out of the room, as it goes out.
func (j *Judged) SetOut() *roomsheet.Answer {
	out := &roomsheet.Answer{Format: roomsheet.AnswerFormat, Room: j.Sheet.Room, Surfaces: []roomsheet.SurfaceAnswer{}}
	for i := range j.Solved {
		out.Surfaces = append(out.Surfaces, j.Solved[i].Outgoing())
	}
	return out
}

// record is the room as the rules of the gates take it.
func (j *Judged) record(dry DryAfter) *gate.Record {
	r := j.Record
	out := &gate.Record{Room: r.Name, Gates: r.States()}
	photos := r.photosWhileOpen()
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
	j.later(out, dry)
	return out
}

// datum is datum k of surface i.
func (j *Judged) datum(d *Datum, i, k int) gate.Datum {
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

func (j *Judged) position(p *Position) gate.Position {
	out := gate.Position{ID: gate.PositionID(p.ID.String()), Surface: gate.SurfaceID(p.Surface.String()), Name: p.Name,
		Kind:  p.Kind,
		Trade: p.Trade, Cutout: p.Cutout, AddedAt: p.AddedAt, Held: p.Held, HeldWhy: p.HeldWhy, OmittedAt: p.OmittedAt}
	if seen := find(j.Record.Seen, func(t *TailSeen) bool { return t.Position == p.ID }); seen != nil {
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

func (j *Judged) measurement(m *Measurement) gate.Measurement {
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
func (j *Judged) later(out *gate.Record, dry DryAfter) {
	r := j.Record
	for _, o := range r.Openings {
		g := gate.Opening{ID: gate.OpeningID(o.ID.String()), Position: gate.PositionID(o.Position.String()), At: o.At,
			Outcome:     o.Outcome,
			NewPosition: gate.PositionID(o.NewPosition.String())}
		if p := find(r.Patches, func(p *Patch) bool { return p.Opening == o.ID }); p != nil {
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
	if f := find(r.Finished, func(f *Finished) bool { return f.Stage == words.Plaster }); f != nil {
		out.PlasterFinished = f.On
		if thick := r.wetCoat(); thick > 0 {
			out.EarliestDry = dry(thick, f.On)
		}
	}
}

// wetCoat is the thickest coat of plaster planned on one face of the room, mm;
// 0 where none is. Tiles and what holds them do not wait for paint.
func (r *Record) wetCoat() float64 {
	most := 0.0
	type face struct {
		surface id.Surface
		datum   id.Datum
	}
	sums := map[face]float64{}
	for _, l := range r.Layers {
		name := strings.ToLower(l.Name)
		if l.Stage != words.Plaster || strings.Contains(name, "tile") || strings.Contains(name, "adhesive") {
			continue
		}
		sums[face{l.Surface, l.Datum}] += l.Thickness
		most = math.Max(most, sums[face{l.Surface, l.Datum}])
	}
	return most
}
