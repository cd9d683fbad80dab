package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindChangePosition is what the schedule says of a position being changed.
const KindChangePosition Kind = "change-position"

var changePositionSort = Sort{Kind: KindChangePosition, May: firm.MayRunJobs, form: readChangePosition,
	json:  stored[ChangePosition],
	names: onPosition}

// ChangePosition changes what the schedule says of a position: name, kind,
// trade, cut-out, reach, tail, place. Faults: BadInput, NotFound, Conflict,
// Obstacle (first fix is signed off).
type ChangePosition struct {
	Position id.Position        `json:"position"`
	Version  int64              `json:"version,omitzero"` // the position's; 0: any
	Draft    room.PositionDraft `json:"draft"`
}

// Kind is Deed.
func (ChangePosition) Kind() Kind { return KindChangePosition }

// positionChanged is what the diary keeps of every change of a position.
type positionChanged struct {
	Before room.Position `json:"before"`
	After  room.Position `json:"after"`
}

func readChangePosition(s *Sent) (Deed, error) {
	q, err := ByID(s.Standing.Record.Position, s.One)
	if err != nil {
		return nil, err
	}
	d := s.position()
	d.TailSigma = q.TailSigma
	if s.Get("surface") != q.Surface.String() {
		s.Bad("surface", q.Name+" stays on its surface", "Leave it out, and put a new one on the other")
	}
	return ChangePosition{Position: q.ID, Version: s.Version, Draft: d}, nil
}

func (d ChangePosition) do(ctx context.Context, t *Taking) error {
	return t.position(ctx, d.Position, d.Version, "change_position", func(p *room.Position) (string, error) {
		want := d.Draft.Position(p.Surface)
		p.Name, p.Kind, p.Trade, p.Cutout, p.Reach, p.TailSigma, p.Planned =
			want.Name, want.Kind, want.Trade, want.Cutout, want.Reach, want.TailSigma, want.Planned
		return p.Name + " was changed on the schedule.", nil
	})
}

// position changes one position and stores it where it changed.
func (w *Writing) position(ctx context.Context, position id.Position, version int64, act string,
	change func(*room.Position) (says string, err error)) error {
	old, err := w.Record.Position(position)
	if err != nil {
		return err
	}
	p := *old
	says, err := change(&p)
	if err != nil || p.Asked(*old) && p.Held == old.Held && p.HeldWhy == old.HeldWhy &&
		p.OmittedAt.Equal(old.OmittedAt) {
		return err
	}
	if err := w.UpdatePosition(ctx, p, version); err != nil {
		return err
	}
	return w.Note(act, nil, says, positionChanged{*old, p})
}
