package deed

import (
	"context"
	"fmt"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
)

// ActRename is the act of a room's new name in the diary; its detail is Renamed.
const ActRename = "rename_room"

// Renamed is the detail of a room's new name.
type Renamed struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// Remove takes a room out in which nothing is recorded, with what is drawn in it
// and on its schedule; its lines in the job's diary stay. The owner and the
// foreman may. Faults: Refused, NotFound, Obstacle (the job is closed, or with a
// field for each thing that is recorded).
func (k *Desk) Remove(ctx context.Context, by firm.Person, roomID id.Room) error {
	if err := firm.MayRunJobs(by); err != nil {
		return err
	}
	return k.in(ctx, by, func(tx Tx) error {
		if _, _, err := tx.LockRoom(ctx, roomID); err != nil {
			return err
		}
		r, err := tx.Record(ctx, roomID)
		if err != nil {
			return err
		}
		if !r.JobClosed.IsZero() {
			return job.Closed(r.JobName)
		}
		holds, err := holdings(ctx, tx, r)
		if err != nil {
			return err
		}
		if len(holds) > 0 {
			return &fault.Error{Kind: fault.Obstacle, Msg: r.Name + " cannot be removed.", Fields: holds}
		}
		if err := tx.RemoveRoom(ctx, roomID); err != nil {
			return err
		}
		e, err := diary.New(by, r.Job, roomID, "", "remove_room", r.Name+" was removed: nothing was recorded in it.",
			struct {
				Name string `json:"name"`
			}{r.Name}, k.Now())
		if err != nil {
			return err
		}
		_, err = diary.Append(ctx, tx, e)
		return err
	})
}

// Keeps returns what keeps a room from being removed, each with the way out;
// none where Remove would take it out. Who and faults as for Remove.
func (k *Desk) Keeps(ctx context.Context, by firm.Person, roomID id.Room) (holds []fault.Field, err error) {
	if err := firm.MayRunJobs(by); err != nil {
		return nil, err
	}
	err = k.look(ctx, by, func(tx Tx) error {
		r, err := tx.Record(ctx, roomID)
		if err == nil {
			holds, err = holdings(ctx, tx, r)
		}
		return err
	})
	return holds, err
}

// holdings are what is recorded in a room. What was only drawn or put on the
// schedule is no record of anything on site, but for timbers and cable runs,
// which somebody measured, and which can be taken off again.
func holdings(ctx context.Context, tx Tx, r *room.Record) (out []fault.Field, err error) {
	signed, err := tx.SignOffs(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	acts, err := tx.ActsIn(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	promised, err := tx.PromisesIn(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	list := func(mend string, all ...holding) {
		for _, h := range all {
			switch {
			case h.n == 1:
				out = append(out, fault.Field{Path: "room", Wrong: "1 " + h.one + " is recorded", Mend: mend})
			case h.n > 1:
				out = append(out, fault.Field{Path: "room", Wrong: fmt.Sprintf("%d %s are recorded", h.n, h.many), Mend: mend})
			}
		}
	}
	list("What is recorded stays, and so does the room", holding{len(r.Measurements), "reading", "readings"},
		holding{len(r.Openings), "hole", "holes"}, holding{len(r.Seen), "tail seen free", "tails seen free"},
		holding{len(r.Photos), "photo", "photos"}, holding{len(r.Built), "layer as built", "layers as built"},
		holding{len(r.Finished), "day a stage was finished", "days a stage was finished"},
		holding{len(r.Snags), "snag", "snags"}, holding{len(signed), "sign-off", "sign-offs"},
		holding{promised, "promised day", "promised days"}, holding{acts, "record that a phone sent",
			"records that phones sent"})
	if len(out) == 0 {
		list("Remove what was drawn by mistake, then remove the room", holding{len(r.Timbers), "timber", "timbers"},
			holding{len(r.Ways), "cable run", "cable runs"})
	}
	return out, nil
}

// holding is how many records of a kind a room has.
type holding struct {
	n         int
	one, many string
}
