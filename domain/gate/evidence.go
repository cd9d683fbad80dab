package gate

import (
	"encoding/json"
	"math"
	"time"

	"lathmark/domain/room"
	"lathmark/domain/words"
)

// EvidenceVersion is that of Evidence.
const EvidenceVersion = 1

// Proof is all that a stage rests on: what does not change while it stands signed. It is
// kept with the sign-off, so its names are frozen.
type Proof struct {
	V     int         `json:"v"`
	Stage words.Stage `json:"stage"`
	// Records are the records by kind and key: "measurement 018f...", "room".
	Records map[string]any `json:"records"`
}

// ReadProof reads what Evidence wrote.
func ReadProof(text []byte) (p Proof, err error) { return p, json.Unmarshal(text, &p) }

// Evidence returns all that stage s of a room rests on, as JSON, with the readings that
// were there at a revision of the room: Standing for those of today.
func Evidence(r *room.Record, s words.Stage, revision int64) ([]byte, error) {
	p := Proof{EvidenceVersion, s, map[string]any{}}
	for _, m := range r.Measurements {
		if m.Since <= revision {
			m.Version = 0
			p.Records["measurement "+m.ID.String()] = m
		}
	}
	all(p, "photo", r.Photos, func(x room.Photo) (string, bool) { return x.ID.String(), x.Stage == s })
	all(p, "as built", r.Built, func(x room.AsBuilt) (string, bool) { return x.Layer.String(), x.Stage == s })
	all(p, "finished", r.Finished, func(x room.Finished) (string, bool) { return "", x.Stage == s })
	switch s {
	case words.FirstFix:
		p.drawn(r)
	case words.Boarding:
		all(p, "tail", r.Seen, func(x room.TailSeen) (string, bool) { return x.Position.String(), true })
	case words.SecondFix:
		p.opened(r)
	case words.Decoration:
		all(p, "patch", r.Patches, func(x room.Patch) (string, bool) { return x.Opening.String(), true })
		all(p, "snag", r.Snags, func(x room.Snag) (string, bool) { return x.ID.String(), true })
	}
	return json.Marshal(p)
}

// Standing is after every revision.
const Standing = math.MaxInt64

func all[T any](p Proof, kind string, list []T, key func(T) (string, bool)) {
	for _, x := range list {
		if k, in := key(x); in {
			p.Records[kind+" "+k] = x
		}
	}
}

// drawn is what first fix rests on but for readings: the room, its plan and its schedule.
func (p Proof) drawn(r *room.Record) {
	p.Records["room"] = room.Room{ID: r.ID, Job: r.Job, Outline: r.Outline, Height: r.Height, Wet: r.Wet,
		CreatedAt: r.CreatedAt}
	all(p, "surface", r.Surfaces, func(x room.Surface) (string, bool) { return x.ID.String(), true })
	all(p, "datum", r.Datums, func(x room.Datum) (string, bool) { return x.ID.String(), true })
	all(p, "layer", r.Layers, func(x room.Layer) (string, bool) { return x.ID.String(), true })
	all(p, "timber", r.Timbers, func(x room.Timber) (string, bool) { return x.ID.String(), true })
	all(p, "way", r.Ways, func(x room.Way) (string, bool) { return x.ID.String(), true })
	for _, x := range r.Positions {
		// Whether it is held or given up is second fix's business.
		x.Version, x.Held, x.HeldWhy, x.OmittedAt, x.OmitWhy = 0, false, "", time.Time{}, ""
		p.Records["position "+x.ID.String()] = x
	}
}

// opened is what second fix rests on: the holes, what makes good those that were lost,
// and which positions were held or given up.
func (p Proof) opened(r *room.Record) {
	for _, x := range r.Openings {
		p.Records["hole "+x.ID.String()] = x
		// A patch may still be owed later; of a hole that was lost it had to be.
		if x.Outcome.Lost() && x.NewPosition.IsZero() {
			p.Records["made good "+x.ID.String()] = r.PatchOf(x.ID) != nil
		}
	}
	for _, x := range r.Positions {
		if x.Held || !x.OmittedAt.IsZero() {
			p.Records["wanted "+x.ID.String()] = room.Position{ID: x.ID, Name: x.Name, Held: x.Held, HeldWhy: x.HeldWhy,
				OmittedAt: x.OmittedAt, OmitWhy: x.OmitWhy}
		}
	}
}
