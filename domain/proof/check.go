package proof

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/job"
)

// check is one job being checked.
type check struct {
	Report
	tx     Tx
	seen   func(diary.Entry)
	people map[id.Member]string
	at     string // the room that is being checked
}

func (c *check) found(seq int64, format string, args ...any) {
	c.Findings = append(c.Findings, Finding{c.at, seq, fmt.Sprintf(format, args...)})
}

func (c *check) run(ctx context.Context) error {
	j, err := c.tx.Job(ctx, c.Job)
	if err != nil {
		return err
	}
	c.Name = j.Name
	everybody, err := c.tx.Members(ctx)
	if err != nil {
		return err
	}
	for _, m := range everybody {
		c.people[m.ID] = m.Name
	}
	about, err := c.chain(ctx, j)
	if err != nil {
		return err
	}
	rooms, err := c.tx.RoomsOf(ctx, c.Job)
	if err != nil {
		return err
	}
	for _, r := range rooms {
		if err := c.room(ctx, r.ID, r.Name); err != nil {
			return err
		}
		delete(about, r.ID)
	}
	left := make([]id.Room, 0, len(about))
	for of := range about {
		left = append(left, of)
	}
	slices.SortFunc(left, func(a, b id.Room) int { return slices.Compare(a[:], b[:]) })
	for _, of := range left {
		if err := c.room(ctx, of, about[of]); err != nil {
			return err
		}
	}
	c.Rooms = len(rooms)
	return nil
}

// chain proves the diary from end to end, compares the job with it, and returns the
// rooms that it is about, each with what says so first.
func (c *check) chain(ctx context.Context, j job.Job) (map[id.Room]string, error) {
	var chain diary.Chain
	about := map[id.Room]string{}
	site, spoken := site{check: c}, said{c, map[string]saidRow{}}
	for after := int64(0); ; {
		next, err := c.tx.Diary(ctx, c.Job, after, page)
		if err != nil {
			return nil, err
		}
		for _, e := range next {
			chain.Add(e)
			c.seen(e)
			after = e.Seq
			spoken.tell(&e)
			if e.Room.IsZero() {
				site.tell(&e)
			} else if _, known := about[e.Room]; !known {
				about[e.Room] = fmt.Sprintf("the room of entry %d", e.Seq)
			}
		}
		if len(next) < page {
			break
		}
	}
	c.Entries, c.Mark = chain.Entries, chain.Last.Mark()
	for _, b := range chain.Breaks() {
		c.found(b.Seq, "%s", b.Says)
	}
	site.compare(j)
	return about, spoken.compare(ctx, c.tx)
}

// room checks one room, called name until its record says otherwise.
func (c *check) room(ctx context.Context, of id.Room, name string) error {
	c.at = name
	defer func() { c.at = "" }()
	record, err := c.tx.Record(ctx, of)
	var refused interface{ SQLState() string }
	switch {
	case gone(err):
		record = nil
	case errors.As(err, &refused) || ctx.Err() != nil:
		return err
	case err != nil:
		c.found(0, "its record cannot be read: %s", err)
		return nil
	case record.Job != c.Job:
		c.found(0, "its entries are in this diary, and %s is of another job", record.Name)
		return nil
	}
	t := newTold(c, record)
	if t.sent, err = c.tx.RoomActs(ctx, of); err != nil {
		return err
	}
	for i := range t.sent {
		t.came[t.sent[i].Came.UnixMicro()] = false
	}
	for after := int64(0); ; {
		next, err := c.tx.RoomPage(ctx, c.Job, of, after, page)
		if err != nil {
			return err
		}
		for _, e := range next {
			after = e.Seq
			t.tell(&e)
		}
		if len(next) < page {
			break
		}
	}
	if record == nil {
		if !t.removed {
			c.found(0, "the room is gone, and no entry says that it was removed")
		}
		return nil
	}
	t.compare()
	signed, err := c.tx.SignOffs(ctx, of)
	if err != nil {
		return err
	}
	strays, err := c.tx.Strays(ctx, of)
	if err != nil {
		return err
	}
	c.SignOffs += len(signed)
	t.signOffs(signed, strays)
	c.stages(record, signed)
	return nil
}

// when says a time.
func when(at time.Time) string { return at.UTC().Format("2006-01-02 15:04:05.999999 UTC") }
