package deed

import (
	"context"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// ChangePosition changes what the schedule says of a position: name, kind,
// trade, cut-out, reach, tail, place. Faults: BadInput, NotFound, Conflict,
// Obstacle (first fix is signed off).
type ChangePosition struct {
	Position id.Position        `json:"position"`
	Version  int64              `json:"version,omitzero"` // the position's; 0: any
	Draft    room.PositionDraft `json:"draft"`
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
	if err := d.Draft.Check(); err != nil {
		return err
	}
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
	detail := changed[room.Position]{*old, p}
	p.Version++
	put(ctx, w, &w.Record.Positions, p, func(tx Tx, ctx context.Context, _ id.Room, p room.Position) error {
		return tx.UpdatePosition(ctx, p, version)
	})
	return w.Note(act, nil, says, detail)
}

// MoveOff moves the planned positions of a room off the timbers by the least that
// clears, all of them or none; those that no move clears stay. Faults: Obstacle
// (first fix is signed off).
type MoveOff struct{}

func (MoveOff) do(ctx context.Context, t *Taking) error {
	from, to := OnTimber(t.Record)
	for i, q := range from {
		if to[i] == *q.Planned {
			continue
		}
		err := t.position(ctx, q.ID, 0, "change_position", func(p *room.Position) (string, error) {
			p.Planned = &to[i]
			return p.Name + " was changed on the schedule.", nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// OnTimber returns the planned positions of a room that the timbers of their
// surface stand in the way of, each with the place that clears; where none does
// that is where it is.
func OnTimber(r *room.Record) (from []*room.Position, to []roomsheet.Point) {
	for i := range r.Positions {
		q := &r.Positions[i]
		if q.Planned == nil || !q.OmittedAt.IsZero() {
			continue
		}
		after, stuck := room.OffTimbers([]room.PositionDraft{{Name: q.Name, Cutout: q.Cutout, Planned: q.Planned}},
			r.TimbersOf(q.Surface))
		if *after[0].Planned != *q.Planned || len(stuck) > 0 {
			from, to = append(from, q), append(to, *after[0].Planned)
		}
	}
	return from, to
}

// Hold holds a position: no hole is listed for it and second fix waits. Faults:
// BadInput (no reason), NotFound, Conflict (the version; the client gave it up),
// Obstacle (second fix is signed off).
type Hold struct {
	Position id.Position `json:"position"`
	Version  int64       `json:"version,omitzero"` // the position's; 0: any
	Why      string      `json:"why"`
}

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
		return &fault.Error{Kind: fault.Conflict, Msg: p.Name + " was left out already."}
	}
	return nil
}

// Release takes a position off hold. Faults as for Hold.
type Release struct {
	Position id.Position `json:"position"`
	Version  int64       `json:"version,omitzero"` // the position's; 0: any
}

func (d Release) do(ctx context.Context, t *Taking) error {
	return t.position(ctx, d.Position, d.Version, "release", func(p *room.Position) (string, error) {
		p.Held, p.HeldWhy = false, ""
		return p.Name + " is no longer held.", nil
	})
}

// Omit notes that the client gave a position up, and why. Where second fix is signed off this opens it again, and what
// follows, if Reopen says that whoever asks knows. Faults as for Hold, but Conflict where stages would open again,
// unasked.
type Omit struct {
	Position id.Position `json:"position"`
	Version  int64       `json:"version,omitzero"` // the position's; 0: any
	Why      string      `json:"why"`
	Reopen   bool        `json:"reopen,omitzero"`
}

func readOmit(s *Sent) (Deed, error) {
	position, err := id.Parse[id.Position](s.One)
	return Omit{Position: position, Why: s.Get("omit_reason"), Reopen: s.mayReopen()}, err
}

func (d Omit) do(ctx context.Context, t *Taking) error {
	return t.position(ctx, d.Position, d.Version, "omit", func(p *room.Position) (string, error) {
		if err := wanted(p); err != nil {
			return "", err
		}
		if err := reason(strings.TrimSpace(d.Why)); err != nil {
			return "", err
		}
		before := gate.Gates(t.Record.Gates)
		after, stages := before, gate.ReopenedBy(before, words.SecondFix)
		if len(stages) > 0 {
			after, _ = gate.Reopen(before, words.SecondFix, d.Why)
		}
		if err := t.opens(ctx, after, stages, d.Reopen, "Leaving out", []string{p.Name}, p.Name+" was left out.",
			"a position was left out"); err != nil {
			return "", err
		}
		p.OmittedAt, p.OmitWhy, p.Held, p.HeldWhy = t.Now, strings.TrimSpace(d.Why), false, ""
		return p.Name + " was left out by the client: " + p.OmitWhy, nil
	})
}

// WantAgain puts a position that was left out back on the schedule. Where first fix is signed off this opens it again,
// and what follows, if Reopen says that whoever asks knows. Faults: NotFound, Conflict (the version; stages would open
// again, unasked).
type WantAgain struct {
	Position id.Position `json:"position"`
	Version  int64       `json:"version,omitzero"` // the position's; 0: any
	Reopen   bool        `json:"reopen,omitzero"`
}

func readWantAgain(s *Sent) (Deed, error) {
	position, err := id.Parse[id.Position](s.One)
	return WantAgain{Position: position, Reopen: s.mayReopen()}, err
}

func (d WantAgain) do(ctx context.Context, t *Taking) error {
	return t.position(ctx, d.Position, d.Version, "want_again", func(p *room.Position) (string, error) {
		if p.OmittedAt.IsZero() {
			return "", nil
		}
		after, stages := gate.AddPosition(t.Record.Gates)
		if err := t.opens(ctx, after, stages, d.Reopen, "Putting back", []string{p.Name}, p.Name+" is wanted after all.",
			"a position is wanted again"); err != nil {
			return "", err
		}
		p.OmittedAt, p.OmitWhy = time.Time{}, ""
		return p.Name + " is wanted after all.", nil
	})
}
