package room

import (
	"slices"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Record is a whole room as it is stored, in lists in a fixed order.
type Record struct {
	// Broken is why the rest cannot be read; nil: it can.
	Broken error `json:"-"`
	Room
	JobName string `json:"job_name,omitzero"`
	// JobClosed is when the job was closed, zero while it is open.
	JobClosed time.Time `json:"-"`
	// Zone is the firm's, in which the room's days are days.
	Zone         words.Zone    `json:"zone,omitzero"`
	Surfaces     []Surface     `json:"surfaces,omitzero"` // by place
	Datums       []Datum       `json:"datums,omitzero"`   // by surface's place, then place
	Layers       []Layer       `json:"layers,omitzero"`   // by place
	Timbers      []Timber      `json:"timbers,omitzero"`
	Ways         []Way         `json:"ways,omitzero"`         // by surface, then name
	Positions    []Position    `json:"positions,omitzero"`    // in the order they were added
	Measurements []Measurement `json:"measurements,omitzero"` // in the order they were taken, struck ones too
	Built        []AsBuilt     `json:"built,omitzero"`
	Seen         []TailSeen    `json:"seen,omitzero"`
	Photos       []Photo       `json:"photos,omitzero"`
	Finished     []Finished    `json:"finished,omitzero"`
	Openings     []Opening     `json:"openings,omitzero"` // in the order they were cut
	Patches      []Patch       `json:"patches,omitzero"`
	Snags        []Snag        `json:"snags,omitzero"`
	Gates        [5]Gate       `json:"gates,omitzero"` // by stage
	// FirstSigned is when each stage was signed off for the first time, by stage.
	FirstSigned [5]time.Time `json:"first_signed,omitzero"`
}

// Row is a record in one of a room's lists, which is found there by its key.
type Row[K comparable] interface{ key() K }

func (s Surface) key() id.Surface         { return s.ID }
func (d Datum) key() id.Datum             { return d.ID }
func (l Layer) key() id.Layer             { return l.ID }
func (t Timber) key() id.Timber           { return t.ID }
func (w Way) key() id.Way                 { return w.ID }
func (p Position) key() id.Position       { return p.ID }
func (m Measurement) key() id.Measurement { return m.ID }
func (b AsBuilt) key() id.Layer           { return b.Layer }
func (t TailSeen) key() id.Position       { return t.Position }
func (p Photo) key() id.Photo             { return p.ID }
func (f Finished) key() words.Stage       { return f.Stage }
func (o Opening) key() id.Opening         { return o.ID }
func (p Patch) key() id.Opening           { return p.Opening }
func (s Snag) key() id.Snag               { return s.ID }

// find returns the record of a list that has the key, or nil.
func find[T Row[K], K comparable](list []T, key K) *T {
	for i := range list {
		if list[i].key() == key {
			return &list[i]
		}
	}
	return nil
}

// sure is find where a record that is not there is a fault.
func sure[T Row[K], K comparable](list []T, key K, noun string) (*T, error) {
	if v := find(list, key); v != nil {
		return v, nil
	}
	return nil, Missing(noun)
}

// Missing is the fault for what is not in the room.
func Missing(noun string) error {
	return &fault.Error{Kind: fault.NotFound, Msg: "There is no such " + noun + " in this room."}
}

// Surface finds a surface. Faults: NotFound, as for all of these.
func (r *Record) Surface(want id.Surface) (*Surface, error) { return sure(r.Surfaces, want, "surface") }

// Datum finds a datum.
func (r *Record) Datum(want id.Datum) (*Datum, error) { return sure(r.Datums, want, "datum") }

// Layer finds a layer.
func (r *Record) Layer(want id.Layer) (*Layer, error) { return sure(r.Layers, want, "layer") }

// Position finds a position.
func (r *Record) Position(want id.Position) (*Position, error) {
	return sure(r.Positions, want, "position")
}

// Measurement finds a measurement.
func (r *Record) Measurement(want id.Measurement) (*Measurement, error) {
	return sure(r.Measurements, want, "measurement")
}

// Opening finds a hole.
func (r *Record) Opening(want id.Opening) (*Opening, error) { return sure(r.Openings, want, "hole") }

// Snag finds a snag.
func (r *Record) Snag(want id.Snag) (*Snag, error) { return sure(r.Snags, want, "snag") }

// Timber finds a timber.
func (r *Record) Timber(want id.Timber) (*Timber, error) { return sure(r.Timbers, want, "timber") }

// Way finds a cable run.
func (r *Record) Way(want id.Way) (*Way, error) { return sure(r.Ways, want, "way") }

// Photo finds a photo.
func (r *Record) Photo(want id.Photo) (*Photo, error) { return sure(r.Photos, want, "photo") }

// SeenOf returns when and by whom a tail was seen free, or nil.
func (r *Record) SeenOf(p id.Position) *TailSeen { return find(r.Seen, p) }

// PatchOf returns the patch of a hole, or nil.
func (r *Record) PatchOf(o id.Opening) *Patch { return find(r.Patches, o) }

// FinishedOf returns the day a stage was finished, or nil.
func (r *Record) FinishedOf(s words.Stage) *Finished { return find(r.Finished, s) }

// BuiltOf returns how a layer was put on, or nil.
func (r *Record) BuiltOf(layer id.Layer) *AsBuilt { return find(r.Built, layer) }

// LayersOf returns the layers of a face in the order they go on; of a surface
// itself where datum is none.
func (r *Record) LayersOf(surface id.Surface, datum id.Datum) []Layer {
	return only(r.Layers, func(l *Layer) bool { return l.Surface == surface && l.Datum == datum })
}

// TimbersOf returns the timbers of a surface.
func (r *Record) TimbersOf(surface id.Surface) []Timber {
	return only(r.Timbers, func(t *Timber) bool { return t.Surface == surface })
}

func only[T any](list []T, match func(*T) bool) (out []T) {
	for i := range list {
		if match(&list[i]) {
			out = append(out, list[i])
		}
	}
	return out
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

// Told reports whether a reading that stands tells how thick a layer of a face is as
// put on: a thickness from under the layer to it or beyond, or a span to the face
// with the layer on.
func (r *Record) Told(l *Layer) bool {
	layers := r.LayersOf(l.Surface, l.Datum)
	on := func(state string) bool {
		at := slices.IndexFunc(layers, func(o Layer) bool { return o.Name == state })
		return at >= 0 && layers[at].Place >= l.Place
	}
	return slices.ContainsFunc(r.Measurements, func(m Measurement) bool {
		switch {
		case !m.Stands():
			return false
		case m.Kind == words.Thickness:
			return m.From == l.Datum && on(m.State) && !on(m.FromState)
		}
		return m.Kind == words.Span && (m.From == l.Datum && on(m.State) || m.To == l.Datum && on(m.ToState))
	})
}

// SignedWith returns the first stage that is signed off and that a reading belongs to,
// since it was there at the time: the stage freezes it.
func (r *Record) SignedWith(m *Measurement) (words.Stage, bool) {
	for _, g := range r.Gates {
		if g.State == words.SignedOff && g.Revision >= m.Since {
			return g.Stage, true
		}
	}
	return words.FirstFix, false
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
