package deed

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindWantAgain is a position that is wanted after all.
const KindWantAgain Kind = "want-again"

var wantAgainSort = Sort{Kind: KindWantAgain, May: firm.MayRunJobs, json: stored[WantAgain],
	form: named(func(of id.Position) WantAgain { return WantAgain{Position: of} })}

// WantAgain takes back that a position was given up. Faults: NotFound, Conflict,
// Obstacle (first fix is signed off).
type WantAgain struct {
	Position id.Position `json:"position"`
	Version  int64       `json:"version,omitzero"` // the position's; 0: any
}

// Kind is Deed.
func (WantAgain) Kind() Kind { return KindWantAgain }

func (d WantAgain) do(ctx context.Context, t *Taking) error {
	return t.position(ctx, d.Position, d.Version, "want_again", func(p *room.Position) (string, error) {
		p.OmittedAt, p.OmitWhy = time.Time{}, ""
		return p.Name + " is wanted after all.", nil
	})
}
