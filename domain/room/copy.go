package room

import (
	"slices"
	"time"

	"lathmark/domain/id"
)

// Copied returns a room as another is drawn by it: without an id, versions or a time of its own.
func (r *Record) Copied() Room {
	out := r.Room
	out.Outline, out.Wet = slices.Clone(out.Outline), slices.Clone(out.Wet)
	out.ID, out.CreatedAt, out.Revision, out.Version = id.Room{}, time.Time{}, 0, 0
	return out
}

// Drafts are the positions of a surface as they were asked for, without ids; those that the client left out are not
// among them.
func (r *Record) Drafts(of id.Surface) (out []PositionDraft) {
	for _, p := range r.Positions {
		if p.Surface == of && p.OmittedAt.IsZero() {
			out = append(out, PositionDraft{Name: p.Name, Kind: p.Kind, Trade: p.Trade, Cutout: p.Cutout, Reach: p.Reach,
				TailSigma: p.TailSigma, Planned: p.Planned})
		}
	}
	return out
}

// Like returns the surface that is called as another room's and of its kind, else the only one of that kind; nil
// where there is none.
func (r *Record) Like(s *Surface) *Surface {
	var kind []*Surface
	for i := range r.Surfaces {
		o := &r.Surfaces[i]
		if o.Kind == s.Kind && o.Name == s.Name {
			return o
		}
		if o.Kind == s.Kind {
			kind = append(kind, o)
		}
	}
	if len(kind) != 1 {
		return nil
	}
	return kind[0]
}

// Has reports whether a position of the room has a name.
func (r *Record) Has(name string) bool {
	return slices.ContainsFunc(r.Positions, func(p Position) bool { return p.Name == name })
}

// DatumsOf returns the datums of a surface.
func (r *Record) DatumsOf(surface id.Surface) []Datum {
	return only(r.Datums, func(d *Datum) bool { return d.Surface == surface })
}
