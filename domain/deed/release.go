package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindRelease is a position that is no longer held.
const KindRelease Kind = "release"

var releaseSort = Sort{Kind: KindRelease, May: firm.MayRunJobs, json: stored[Release],
	form: named(func(of id.Position) Release { return Release{Position: of} })}

// Release takes a position off hold. Faults as for Hold.
type Release struct {
	Position id.Position `json:"position"`
	Version  int64       `json:"version,omitzero"` // the position's; 0: any
}

// Kind is Deed.
func (Release) Kind() Kind { return KindRelease }

func (d Release) do(ctx context.Context, t *Taking) error {
	return t.position(ctx, d.Position, d.Version, "release", func(p *room.Position) (string, error) {
		p.Held, p.HeldWhy = false, ""
		return p.Name + " is no longer held.", nil
	})
}
