package room

import (
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Record is a whole room as it is stored, in lists in a fixed order.
type Record struct {
	Room
	JobName string
	// JobClosed is when the job was closed, zero while it is open.
	JobClosed    time.Time `json:"-"`
	Surfaces     []Surface // by place
	Datums       []Datum   // by surface's place, then place
	Layers       []Layer   // by place
	Timbers      []Timber
	Ways         []Way         // by surface, then name
	Positions    []Position    // in the order they were added
	Measurements []Measurement // in the order they were taken, struck ones too
	Built        []AsBuilt
	Seen         []TailSeen
	Photos       []Photo
	Finished     []Finished
	Openings     []Opening // in the order they were cut
	Patches      []Patch
	Snags        []Snag
	Gates        [5]Gate // by stage
}

// find returns the record in a list for which is holds, or nil.
func find[T any](list []T, is func(*T) bool) *T {
	for i := range list {
		if is(&list[i]) {
			return &list[i]
		}
	}
	return nil
}

// Missing is the fault for what is not in the room.
func Missing(noun string) error {
	return &fault.Error{Kind: fault.NotFound, Msg: "There is no such " + noun + " in this room."}
}

// Surface finds a surface. Faults: NotFound, as for all of these.
func (r *Record) Surface(want id.Surface) (*Surface, error) {
	if s := find(r.Surfaces, func(s *Surface) bool { return s.ID == want }); s != nil {
		return s, nil
	}
	return nil, Missing("surface")
}

// Datum finds a datum.
func (r *Record) Datum(want id.Datum) (*Datum, error) {
	if d := find(r.Datums, func(d *Datum) bool { return d.ID == want }); d != nil {
		return d, nil
	}
	return nil, Missing("datum")
}

// Layer finds a layer.
func (r *Record) Layer(want id.Layer) (*Layer, error) {
	if l := find(r.Layers, func(l *Layer) bool { return l.ID == want }); l != nil {
		return l, nil
	}
	return nil, Missing("layer")
}

// Position finds a position.
func (r *Record) Position(want id.Position) (*Position, error) {
	if p := find(r.Positions, func(p *Position) bool { return p.ID == want }); p != nil {
		return p, nil
	}
	return nil, Missing("position")
}

// Measurement finds a measurement.
func (r *Record) Measurement(want id.Measurement) (*Measurement, error) {
	if m := find(r.Measurements, func(m *Measurement) bool { return m.ID == want }); m != nil {
		return m, nil
	}
	return nil, Missing("measurement")
}

// Opening finds a hole.
func (r *Record) Opening(want id.Opening) (*Opening, error) {
	if o := find(r.Openings, func(o *Opening) bool { return o.ID == want }); o != nil {
		return o, nil
	}
	return nil, Missing("hole")
}

// Snag finds a snag.
func (r *Record) Snag(want id.Snag) (*Snag, error) {
	if s := find(r.Snags, func(s *Snag) bool { return s.ID == want }); s != nil {
		return s, nil
	}
	return nil, Missing("snag")
}

// Timber finds a timber.
func (r *Record) Timber(want id.Timber) (*Timber, error) {
	if t := find(r.Timbers, func(t *Timber) bool { return t.ID == want }); t != nil {
		return t, nil
	}
	return nil, Missing("timber")
}

// Way finds a cable's way.
func (r *Record) Way(want id.Way) (*Way, error) {
	if w := find(r.Ways, func(w *Way) bool { return w.ID == want }); w != nil {
		return w, nil
	}
	return nil, Missing("way")
}

// SeenOf returns when and by whom a tail was seen free, or nil.
func (r *Record) SeenOf(p id.Position) *TailSeen {
	return find(r.Seen, func(t *TailSeen) bool { return t.Position == p })
}

// PatchOf returns the patch of a hole, or nil.
func (r *Record) PatchOf(o id.Opening) *Patch {
	return find(r.Patches, func(p *Patch) bool { return p.Opening == o })
}

// FinishedOf returns the day a stage was finished, or nil.
func (r *Record) FinishedOf(s words.Stage) *Finished {
	return find(r.Finished, func(f *Finished) bool { return f.Stage == s })
}

// LayersOf returns the layers of a face in the order they go on; of a surface
// itself where datum is none.
func (r *Record) LayersOf(surface id.Surface, datum id.Datum) []Layer {
	var out []Layer
	for _, l := range r.Layers {
		if l.Surface == surface && l.Datum == datum {
			out = append(out, l)
		}
	}
	return out
}

// BuiltOf returns how a layer was put on, or nil.
func (r *Record) BuiltOf(layer id.Layer) *AsBuilt {
	return find(r.Built, func(b *AsBuilt) bool { return b.Layer == layer })
}

// Naming says what on record names a layer, so that it cannot be taken out of the
// plan; empty where nothing does. Readings that were struck out name it too.
func (r *Record) Naming(l *Layer) string {
	if r.BuiltOf(l.ID) != nil {
		return "it is recorded as put on"
	}
	for i := range r.Measurements {
		m := &r.Measurements[i]
		switch {
		case l.Datum.IsZero() && m.Surface == l.Surface && m.SurfaceState == l.Name,
			!l.Datum.IsZero() && m.From == l.Datum && (m.State == l.Name || m.FromState == l.Name),
			!l.Datum.IsZero() && m.To == l.Datum && m.ToState == l.Name:
			return m.Name + " was measured on it"
		}
	}
	return ""
}

// Now returns the state of layers today: the name of the outermost that is on. A
// layer is on once it is recorded as put on, or once its stage is signed off.
func (r *Record) Now(layers []Layer) string {
	now := roomsheet.Bare
	for _, l := range layers {
		if r.BuiltOf(l.ID) == nil && r.Gates[l.Stage].State != words.SignedOff {
			break
		}
		now = l.Name
	}
	return now
}

// InHand is the stage being worked on: the first that is not signed off.
// False where all are.
func (r *Record) InHand() (words.Stage, bool) {
	for _, s := range words.Stages {
		if r.Gates[s].State != words.SignedOff {
			return s, true
		}
	}
	return words.Decoration, false
}

// States are the gates as the rules take them.
func (r *Record) States() (out gate.Gates) {
	for i, g := range r.Gates {
		out[i] = gate.Gate{State: g.State, SignedAt: g.SignedAt, SignedBy: g.Initials}
	}
	return out
}
