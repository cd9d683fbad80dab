package deed

import (
	"context"
	"fmt"
	"strings"
	"unicode/utf8"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Schedule puts positions on a surface's schedule. Where first fix is signed
// off this reopens it, and what follows: the diary says so. The owner and the
// foreman may. Those that are there already under their id are skipped. Faults:
// BadInput, NotFound (the surface), Conflict (a name or an id is taken).
func (s *Service) Schedule(ctx context.Context, by firm.Person, roomID id.Room, surface id.Surface,
	drafts []room.PositionDraft) (*standing.Standing, error) {
	return s.book.Write(ctx, by, roomID, firm.MayRunJobs, func(w *Writing) error {
		_, err := w.Schedule(ctx, surface, drafts)
		return err
	})
}

// Schedule is Service.Schedule inside a writing; it returns what was added.
func (w *Writing) Schedule(ctx context.Context, surface id.Surface, drafts []room.PositionDraft) ([]room.Position,
	error) {
	on, err := w.Record.Surface(surface)
	if err != nil {
		return nil, err
	}
	var fresh []room.Position
	for _, d := range drafts {
		p := d.Position(surface)
		if old, err := w.Record.Position(p.ID); err == nil {
			if old.Version == 1 && !old.Asked(p) {
				return nil, otherRecord()
			}
			continue
		}
		p.AddedAt = w.Now
		fresh = append(fresh, p)
	}
	if len(fresh) == 0 {
		return nil, nil
	}
	names, err := w.freeNames(fresh)
	if err != nil {
		return nil, err
	}
	after, reopened := gate.AddPosition(w.Record.States())
	if err := w.MoveGates(ctx, after); err != nil {
		return nil, err
	}
	for _, s := range reopened {
		if err := w.Note("reopen", &s, fmt.Sprintf("%s in %s is open again: %s came onto the schedule.",
			words.Capital(s.String()),
			w.Record.Name, words.List(names)),
			struct{ Reason string }{"a position was added"}); err != nil {
			return nil, err
		}
	}
	for _, p := range fresh {
		if err := w.InsertPosition(ctx, w.Record.ID, p); err != nil {
			return nil, err
		}
	}
	return fresh, w.Note("add_positions", nil, fmt.Sprintf("%s came onto the schedule of the %s.", words.List(names),
		on.Name),
		fresh)
}

// freeNames returns the names of new positions. Faults: Conflict, with each name
// that is taken already or comes twice.
func (w *Writing) freeNames(fresh []room.Position) ([]string, error) {
	taken := map[string]bool{}
	for _, p := range w.Record.Positions {
		taken[p.Name] = true
	}
	var names, twice []string
	for _, p := range fresh {
		if taken[p.Name] {
			twice = append(twice, p.Name)
		}
		taken[p.Name] = true
		names = append(names, p.Name)
	}
	if len(twice) == 0 {
		return names, nil
	}
	return nil, &fault.Error{Kind: fault.Conflict, Msg: "The roomID has " + words.List(twice) + " already.",
		Fields: []fault.Field{{Path: "name", Wrong: "the roomID has " + words.List(twice) + " already",
			Mend: "Give another name, or leave it out of the list"}}}
}

// ChangePosition changes what the schedule says of a position: name, kind,
// trade, cut-out, reach, tail, place. version is the position's, 0 for any.
// The owner and the foreman may. Faults: BadInput, NotFound, Conflict,
// Obstacle (first fix is signed off).
func (s *Service) ChangePosition(ctx context.Context, by firm.Person, roomID id.Room, position id.Position,
	version int64,
	d room.PositionDraft) (*standing.Standing, error) {
	return s.position(ctx, by, roomID, position, version, firm.MayRunJobs, "change_position",
		func(w *Writing, p *room.Position) (string, error) {
			want := d.Position(p.Surface)
			p.Name, p.Kind, p.Trade, p.Cutout, p.Reach, p.TailSigma, p.Planned =
				want.Name, want.Kind, want.Trade, want.Cutout, want.Reach, want.TailSigma, want.Planned
			return p.Name + " was changed on the schedule.", nil
		})
}

// Hold holds a position: no hole is listed for it and second fix waits. The
// owner and the foreman may. Faults: BadInput (no reason), NotFound, Conflict
// (the version; the client gave it up), Obstacle (second fix is signed off).
func (s *Service) Hold(ctx context.Context, by firm.Person, roomID id.Room, position id.Position, version int64,
	why string) (*standing.Standing, error) {
	return s.position(ctx, by, roomID, position, version, firm.MayRunJobs, "hold",
		func(w *Writing, p *room.Position) (string,
			error) {
			if err := wanted(p); err != nil {
				return "", err
			}
			p.Held, p.HeldWhy = true, strings.TrimSpace(why)
			return p.Name + " is held: " + p.HeldWhy, reason(p.HeldWhy)
		})
}

// Release takes a position off hold. Who and faults as for Hold.
func (s *Service) Release(ctx context.Context, by firm.Person, roomID id.Room, position id.Position,
	version int64) (*standing.Standing, error) {
	return s.position(ctx, by, roomID, position, version, firm.MayRunJobs, "release",
		func(w *Writing, p *room.Position) (string,
			error) {
			p.Held, p.HeldWhy = false, ""
			return p.Name + " is no longer held.", nil
		})
}

// Omit notes that the client gave a position up, and why. Who and faults as
// for Hold.
func (s *Service) Omit(ctx context.Context, by firm.Person, roomID id.Room, position id.Position, version int64,
	why string) (*standing.Standing, error) {
	return s.position(ctx, by, roomID, position, version, firm.MayRunJobs, "omit",
		func(w *Writing, p *room.Position) (string,
			error) {
			if err := wanted(p); err != nil {
				return "", err
			}
			p.OmittedAt, p.OmitWhy, p.Held, p.HeldWhy = w.Now, strings.TrimSpace(why), false, ""
			return p.Name + " was given up: " + p.OmitWhy, reason(p.OmitWhy)
		})
}

// WantAgain takes back that a position was given up. The owner and the foreman
// may. Faults: NotFound, Conflict, Obstacle (first fix is signed off).
func (s *Service) WantAgain(ctx context.Context, by firm.Person, roomID id.Room, position id.Position,
	version int64) (*standing.Standing, error) {
	return s.position(ctx, by, roomID, position, version, firm.MayRunJobs, "want_again",
		func(w *Writing, p *room.Position) (string, error) {
			p.OmittedAt, p.OmitWhy = noTime, ""
			return p.Name + " is wanted after all.", nil
		})
}

// position changes one position and stores it where it changed.
func (s *Service) position(ctx context.Context, by firm.Person, roomID id.Room, position id.Position, version int64,
	may firm.Policy, act string,
	change func(*Writing, *room.Position) (says string, err error)) (*standing.Standing, error) {
	return s.book.Write(ctx, by, roomID, may, func(w *Writing) error {
		old, err := w.Record.Position(position)
		if err != nil {
			return err
		}
		p := *old
		says, err := change(w, &p)
		if err != nil {
			return err
		}
		if p.Asked(*old) && p.Held == old.Held && p.HeldWhy == old.HeldWhy && p.OmittedAt.Equal(old.OmittedAt) {
			return nil
		}
		if err := w.UpdatePosition(ctx, p, version); err != nil {
			return err
		}
		return w.Note(act, nil, says, struct{ Before, After room.Position }{*old, p})
	})
}

// Grid returns the drafts of a spaced schedule on a surface of a room as it is,
// moved off its timbers where asked; nothing is stored. The people on site may
// ask. stuck names those that no move within half a bay clears. Faults:
// Refused, NotFound, BadInput.
func (s *Service) Grid(ctx context.Context, by firm.Person, roomID id.Room, surface id.Surface, g room.Grid,
	offTimbers bool) (drafts []room.PositionDraft, stuck []string, err error) {
	j, err := s.book.Read(ctx, by, roomID)
	if err != nil {
		return nil, nil, err
	}
	on, err := j.Record.Surface(surface)
	if err != nil {
		return nil, nil, err
	}
	drafts, err = room.Spaced(on.Outline, g)
	if err != nil || !offTimbers {
		return drafts, nil, err
	}
	var timbers []room.Timber
	for _, t := range j.Record.Timbers {
		if t.Surface == surface {
			timbers = append(timbers, t)
		}
	}
	drafts, stuck = room.OffTimbers(drafts, timbers)
	return drafts, stuck, nil
}

func wanted(p *room.Position) error {
	if !p.OmittedAt.IsZero() {
		return &fault.Error{Kind: fault.Conflict, Msg: p.Name + " was given up already."}
	}
	return nil
}

// reason refuses a blank one.
func reason(why string) error {
	if strings.TrimSpace(why) == "" || utf8.RuneCountInString(why) > 400 {
		return &fault.Error{Kind: fault.BadInput, Msg: "This needs a reason.",
			Fields: []fault.Field{{Path: "reason", Wrong: "there is no reason, or it is over 400 characters",
				Mend: "Say why, in a sentence"}}}
	}
	return nil
}
