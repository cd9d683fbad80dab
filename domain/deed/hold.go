package deed

import (
	"context"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindHold is a position that is held.
const KindHold Kind = "hold"

var holdSort = Sort{Kind: KindHold, May: firm.MayRunJobs, form: readHold, json: stored[Hold]}

// Hold holds a position: no hole is listed for it and second fix waits. Faults:
// BadInput (no reason), NotFound, Conflict (the version; the client gave it up),
// Obstacle (second fix is signed off).
type Hold struct {
	Position id.Position `json:"position"`
	Version  int64       `json:"version,omitzero"` // the position's; 0: any
	Why      string      `json:"why"`
}

// Kind is Deed.
func (Hold) Kind() Kind { return KindHold }

func readHold(s *Sent) (Deed, error) {
	position, err := id.Parse[id.Position](s.One)
	return Hold{Position: position, Why: s.Get("reason")}, err
}

func (d Hold) do(ctx context.Context, t *Taking) error {
	return t.position(ctx, d.Position, d.Version, "hold", func(p *room.Position) (string, error) {
		if err := wanted(p); err != nil {
			return "", err
		}
		p.Held, p.HeldWhy = true, strings.TrimSpace(d.Why)
		return p.Name + " is held: " + p.HeldWhy, reason(p.HeldWhy)
	})
}

func wanted(p *room.Position) error {
	if !p.OmittedAt.IsZero() {
		return &fault.Error{Kind: fault.Conflict, Msg: p.Name + " was given up already."}
	}
	return nil
}
