// Package stage is what people do with the gates of a room: see tails free,
// write down what was put on and what a hole showed, offer a stage, sign it
// off, open it again; and the lists that are worked out from the gates.
package stage

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Service is what people do with a stage. Every method that writes also returns
// the faults of room.Book.Write.
type Service struct{ book *deed.Book }

// NewService makes the service.
func NewService(book *deed.Book) *Service { return &Service{book} }

// Offer says that a stage is done. The trades that lead the stage may, and the
// foreman. Faults: Refused, Conflict (it is not in hand).
func (s *Service) Offer(ctx context.Context, by firm.Person, room id.Room, stage words.Stage) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, room, firm.MayRecord, func(w *writing) error { return Offer(ctx, w, stage) })
}

// Offer is Service.Offer inside a writing.
func Offer(ctx context.Context, w *deed.Writing, stage words.Stage) error {
	j, err := w.Standing()
	if err != nil {
		return err
	}
	if w.By.Role == firm.Trade && !slices.Contains(j.Gate.Lead(stage), w.By.Trade) {
		return &fault.Error{Kind: fault.Refused, Msg: fmt.Sprintf("%s in %s is not the %s's to offer.",
			words.Capital(stage.String()), j.Record.Name, w.By.Trade)}
	}
	after, err := gate.Offer(j.Gate.Gates, stage)
	if err != nil {
		return err
	}
	if err := w.MoveGates(ctx, after); err != nil {
		return err
	}
	return w.Note(string(gate.ActOffer), &stage, fmt.Sprintf("%s in %s was offered.", words.Capital(stage.String()),
		j.Record.Name), struct{}{})
}

type writing = deed.Writing

// SignOff signs a stage off with the soft obstacles that are accepted. What it
// was based on, the room sheet and the set-out of this moment, is kept with it
// word for word. The owner and the foreman may. Faults: Refused, Conflict (it
// is not offered), Obstacle with a field for each that stands in the way.
func (s *Service) SignOff(ctx context.Context, by firm.Person, of id.Room, stage words.Stage,
	accepted []gate.Acceptance) (*standing.Standing, error) {
	return s.book.Write(ctx, by, of, firm.MayRunJobs, func(w *writing) error {
		j, err := w.Standing()
		if err != nil {
			return err
		}
		after, err := j.Gate.SignOff(stage, accepted, by.Initials())
		if err != nil {
			return err
		}
		kept := accepts(j, stage, accepted)
		signed, err := basis(j, kept)
		if err != nil {
			return err
		}
		signed.ID, signed.Stage, signed.By, signed.At = id.New[id.SignOff](), stage, by.ID, w.Now
		return store(ctx, w, signed, kept, after)
	})
}

// store writes a sign-off, the gates as they are after it, and its entry.
func store(ctx context.Context, w *writing, signed room.SignOff, kept []Accepted, after gate.Gates) error {
	last, err := w.Tx.LastEntry(ctx, w.Record.Job)
	if err != nil {
		return err
	}
	signed.DiarySeq = last.Seq + int64(w.Notes()) + 1
	signer, err := w.Tx.InsertSignOff(ctx, w.Record.ID, w.Record.Job, signed)
	if err != nil {
		return err
	}
	if err := w.SignGates(ctx, after, signed, signer); err != nil {
		return err
	}
	says := fmt.Sprintf("%s in %s was signed off.", words.Capital(signed.Stage.String()), w.Record.Name)
	for _, a := range kept {
		says += fmt.Sprintf(" Accepted, though %s: %s.", a.Wrong, strings.TrimSuffix(a.Reason, "."))
	}
	return w.Note(diary.ActSignOff, &signed.Stage, says, struct {
		diary.Signed
		SignOff  id.SignOff `json:"sign_off"`
		Accepted []Accepted `json:"accepted"`
	}{diary.Signed{SHA256: hex.EncodeToString(signed.SHA256[:])}, signed.ID, kept})
}

// Accepted is a soft obstacle that was accepted, as it is kept.
type Accepted struct {
	Code   string `json:"code"`
	Kind   string `json:"kind"`
	ID     string `json:"id"`
	Name   string `json:"name"`
	Wrong  string `json:"wrong"`
	Reason string `json:"reason"`
}

// accepts returns those of the acceptances that a soft obstacle needed.
func accepts(j *standing.Standing, stage words.Stage, accepted []gate.Acceptance) []Accepted {
	out := []Accepted{}
	for _, o := range j.Obstacles(stage) {
		for _, a := range accepted {
			if a.Code == o.Code && a.About.Kind == o.About.Kind && a.About.ID == o.About.ID &&
				strings.TrimSpace(a.Reason) != "" {
				out = append(out, Accepted{o.Code, string(o.About.Kind), o.About.ID, o.About.Name, o.Wrong,
					strings.TrimSpace(a.Reason)})
				break
			}
		}
	}
	return out
}

// basis is what a sign-off rests on, and its SHA-256: the accepted obstacles,
// the room sheet and the set-out, a line to each.
func basis(j *standing.Standing, kept []Accepted) (room.SignOff, error) {
	var out room.SignOff
	var err error
	if out.Accepted, err = json.Marshal(kept); err != nil {
		return out, err
	}
	if out.RoomSheet, err = json.Marshal(j.Sheet); err != nil {
		return out, err
	}
	if out.SetOut, err = json.Marshal(j.SetOut()); err != nil {
		return out, err
	}
	out.SHA256 = sha256.Sum256(slices.Concat(out.Accepted, []byte("\n"), out.RoomSheet, []byte("\n"), out.SetOut))
	return out, nil
}

// Reopen opens a signed stage again, and what follows it. The owner and the
// foreman may. Faults: Refused, BadInput (no reason), Conflict (it is not
// signed off).
func (s *Service) Reopen(ctx context.Context, by firm.Person, room id.Room, stage words.Stage,
	reason string) (*standing.Standing, error) {
	return s.book.Write(ctx, by, room, firm.MayRunJobs, func(w *writing) error {
		before := w.Record.States()
		after, err := gate.Reopen(before, stage, reason)
		if err != nil {
			return err
		}
		if err := w.MoveGates(ctx, after); err != nil {
			return err
		}
		for _, s := range gate.ReopenedBy(before, stage) {
			says := fmt.Sprintf("%s in %s is open again: %s", words.Capital(s.String()), w.Record.Name,
				strings.TrimSpace(reason))
			if err := w.Note(string(gate.ActReopen), &s, says, struct {
				Reason string `json:"reason"`
			}{reason}); err != nil {
				return err
			}
		}
		return nil
	})
}

// SignOffs returns every sign-off of a room, also of stages that were opened
// again since. The people on site may ask.
func (s *Service) SignOffs(ctx context.Context, by firm.Person, of id.Room) (all []room.SignOff, err error) {
	if err := firm.MayRead(by); err != nil {
		return nil, err
	}
	err = s.book.Look(ctx, by, func(tx deed.Tx) error {
		if _, err := tx.Record(ctx, of); err != nil {
			return err
		}
		all, err = tx.SignOffs(ctx, of)
		return err
	})
	return all, err
}
