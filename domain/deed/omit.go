package deed

import (
	"context"
	"strings"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindOmit is a position that the client gave up.
const KindOmit Kind = "omit"

var omitSort = Sort{Kind: KindOmit, May: firm.MayRunJobs, form: readOmit, json: stored[Omit],
	names: []string{"reason", "omit_reason"}}

// Omit notes that the client gave a position up, and why. Faults as for Hold.
type Omit struct {
	Position id.Position `json:"position"`
	Version  int64       `json:"version,omitzero"` // the position's; 0: any
	Why      string      `json:"why"`
}

// Kind is Deed.
func (Omit) Kind() Kind { return KindOmit }

func readOmit(s *Sent) (Deed, error) {
	position, err := id.Parse[id.Position](s.One)
	return Omit{Position: position, Why: s.Get("omit_reason")}, err
}

func (d Omit) do(ctx context.Context, t *Taking) error {
	return t.position(ctx, d.Position, d.Version, "omit", func(p *room.Position) (string, error) {
		if err := wanted(p); err != nil {
			return "", err
		}
		p.OmittedAt, p.OmitWhy, p.Held, p.HeldWhy = t.Now, strings.TrimSpace(d.Why), false, ""
		return p.Name + " was given up: " + p.OmitWhy, reason(p.OmitWhy)
	})
}
