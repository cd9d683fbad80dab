package standing

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Progress is what a client sees of the job: no names, no measurements, no
// mistakes.
type Progress struct {
	Job   string
	Firm  string     // whom the client tells
	Zone  words.Zone // the firm's
	Rooms []RoomProgress
}

// RoomProgress is one room as the client sees it.
type RoomProgress struct {
	Name   string
	States [5]words.State
	Signed [5]time.Time // the day each stage was signed off, or zero
	// Next is the stage in hand; Done where there is none.
	Next words.Stage
	Done bool
	// Earliest is the first day on which Next can be finished; zero where
	// nothing holds it but the work.
	Earliest time.Time
	// Decisions are the positions that wait for the client, and why.
	Decisions []Decision
}

// Says says what is next.
func (r RoomProgress) Says() string {
	switch {
	case r.Done:
		return "This room is finished."
	case r.States[r.Next] == words.Waiting:
		return words.Capital(r.Next.String()) + " is next."
	}
	return words.Capital(r.Next.String()) + " is in hand."
}

// Decision is something the client has to decide.
//
// Why is what was written when it was held, which says that the client reads it.
type Decision struct{ Name, Kind, Why string }

// Progress returns the job behind a client's private link. Anybody who has the
// link may ask. Faults: NotFound.
func (b *Book) Progress(ctx context.Context, link string) (out Progress, err error) {
	of, hash, err := firm.ReadToken(link)
	if err != nil {
		return Progress{}, err
	}
	err = b.look(ctx, firm.Whole(of), func(tx Tx) error {
		job, err := tx.ClientLinkJob(ctx, hash, b.now())
		if err != nil {
			return err
		}
		if out.Job, err = tx.JobName(ctx, job); err != nil {
			return err
		}
		firm, err := tx.Firm(ctx)
		if err != nil {
			return err
		}
		out.Zone, out.Firm = firm.Zone, firm.Name
		all, err := b.AllIn(ctx, tx, of, room.Scope{Job: job})
		for _, j := range all {
			out.Rooms = append(out.Rooms, j.progress())
		}
		return err
	})
	return out, err
}

func (j *Standing) progress() RoomProgress {
	out := RoomProgress{Name: j.Record.Name}
	for _, s := range words.Stages {
		out.States[s] = j.Record.Gates[s].State
		out.Signed[s] = j.Record.Zone.Day(j.Record.Gates[s].SignedAt)
	}
	next, open := j.Record.InHand()
	out.Next, out.Done = next, !open
	if next == words.SecondFix && j.Gate.EarliestDry.After(j.Record.Zone.Day(j.Now)) {
		out.Earliest = j.Gate.EarliestDry
	}
	if open && next == words.Decoration {
		for _, p := range j.Record.Patches {
			if dry := j.Record.Zone.Day(p.DryAt); p.DryAt.After(j.Now) && dry.After(out.Earliest) {
				out.Earliest = dry
			}
		}
	}
	for _, p := range j.Record.Positions {
		if p.Held && p.OmittedAt.IsZero() && open && next <= words.SecondFix {
			out.Decisions = append(out.Decisions, Decision{p.Name, p.Kind, p.HeldWhy})
		}
	}
	return out
}
