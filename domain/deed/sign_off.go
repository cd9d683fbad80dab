package deed

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// SignOff signs a stage off with the soft obstacles that are accepted. What it
// was based on, the room sheet and the set-out of this moment, is kept with it
// word for word. Faults: Conflict (it is not offered, or the room has changed since it
// was seen), Obstacle with a field for each that stands in the way.
type SignOff struct {
	Stage words.Stage `json:"stage"`
	// Revision is the room's as whoever signs has seen it.
	Revision int64             `json:"revision"`
	Accepted []gate.Acceptance `json:"accepted"`
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

// ReadAccepted reads what a sign-off keeps of what was accepted: a list, the same
// in every version so far.
func ReadAccepted(s *room.SignOff) (kept []Accepted, err error) {
	if err := json.Unmarshal(s.Accepted, &kept); err != nil {
		return nil, fmt.Errorf("what was accepted at the sign-off %s cannot be read: %w", s.ID, err)
	}
	return kept, nil
}

// signed is what the diary keeps of a sign-off.
type signed struct {
	diary.Signed
	SignOff  id.SignOff `json:"sign_off"`
	Accepted []Accepted `json:"accepted"`
}

func (d SignOff) do(ctx context.Context, t *Taking) error {
	j, err := t.Standing()
	if err != nil {
		return err
	}
	if err := d.seen(ctx, t); err != nil {
		return err
	}
	after, err := j.Gate.SignOff(d.Stage, d.Accepted, t.By.Initials())
	if err != nil {
		return err
	}
	kept := []Accepted{}
	for _, a := range j.Gate.AcceptedBy(d.Stage, d.Accepted) {
		kept = append(kept, Accepted{a.Code, string(a.About.Kind), a.About.ID, a.About.Name, a.Wrong, a.Reason})
	}
	s, err := basis(j, d.Stage, kept)
	if err != nil {
		return err
	}
	last, err := t.Tx.LastEntry(ctx, t.Record.Job)
	if err != nil {
		return err
	}
	s.ID, s.Stage, s.By, s.At, s.DiarySeq = id.New[id.SignOff](), d.Stage, t.By.ID, t.Now, last.Seq+int64(len(t.notes))+1
	signer, err := t.Tx.InsertSignOff(ctx, t.Record.ID, t.Record.Job, s)
	if err != nil {
		return err
	}
	t.moveGates(ctx, after, &room.Gate{SignOff: s.ID, SignedBy: s.By, SignedAt: s.At,
		Initials: firm.Person{Name: signer}.Initials()})
	says := fmt.Sprintf("%s in %s was signed off.", words.Capital(s.Stage.String()), t.Record.Name)
	for _, a := range kept {
		says += fmt.Sprintf(" Accepted, though %s: %s.", a.Wrong, strings.TrimSuffix(a.Reason, "."))
	}
	return t.Note(diary.ActSignOff, &s.Stage, says,
		signed{diary.Signed{SHA256: s.SHA256.String(), Evidence: s.EvidenceSum().String()}, s.ID, kept})
}

// lately is how many entries of a job's diary the last one about a room is looked for in.
const lately = 200

// seen refuses what was not seen as it is, and says what changed last.
func (d SignOff) seen(ctx context.Context, t *Taking) error {
	if d.Revision == t.Record.Revision || d.Revision == 0 && t.Record.Gates[d.Stage].State != words.Offered {
		return nil // what is not offered is refused for that
	}
	if d.Revision == 0 {
		return bad("revision", "it does not say which record was seen",
			"Give the room's revision, as it was read with its gates")
	}
	last, err := t.Tx.LastEntry(ctx, t.Record.Job)
	if err != nil {
		return err
	}
	all, err := t.Tx.RoomDiary(ctx, t.Record.ID, last.Seq-lately)
	if err != nil {
		return err
	}
	says := words.Capital(t.Record.Name) + " has changed since you looked."
	if len(all) > 0 {
		e := all[len(all)-1]
		says += fmt.Sprintf(" %s, %s: %s", words.DayTime(e.At), e.Who, e.Says)
	}
	return &fault.Error{Kind: fault.Conflict, Msg: says + " Look again, then sign off.",
		Fields: []fault.Field{{Path: "revision", Wrong: "the room has changed since", Mend: "Read it again"}}}
}

// basis is what a sign-off of a stage rests on, and its SHA-256: the accepted obstacles,
// the room sheet and the set-out, a line to each. The evidence has a sum of its own.
func basis(j *standing.Standing, of words.Stage, kept []Accepted) (room.SignOff, error) {
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
	if out.Evidence, err = gate.Evidence(j.Record, of, gate.Standing); err != nil {
		return out, err
	}
	out.SHA256 = out.Sum()
	return out, nil
}
