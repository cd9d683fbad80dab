package deed

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// clash is what there is to choose between, as it is kept.
type clash struct {
	// Mine and Theirs are readings that stand side by side.
	Mine   []id.Measurement `json:"mine,omitempty"`
	Theirs []id.Measurement `json:"theirs,omitempty"`
	// Held are the parts of the deed, by their place in it, that are not in
	// force: what others wrote is. A deed without parts has part 0.
	Held []int `json:"held,omitempty"`
	// Opening is the hole that others wrote down.
	Opening id.Opening `json:"opening,omitzero"`
}

// Taking is a deed being taken.
type Taking struct {
	*Writing
	// phone: it comes from a phone, which may send it more than once.
	phone bool
	// others are the entries about the room that others wrote since the copy.
	others       []diary.Entry
	clash        clash
	mine, theirs []string
}

// since reads what others wrote about the room since the copy.
func since(ctx context.Context, w *Writing, by id.Member, copied int64) ([]diary.Entry, error) {
	all, err := w.Tx.RoomDiary(ctx, w.Record.ID, copied)
	return slices.DeleteFunc(all, func(e diary.Entry) bool { return e.Member == by }), err
}

// beside notes that a reading of this act stands beside one of others'.
func (t *Taking) beside(mine room.Measurement, theirs id.Measurement, e diary.Entry) {
	if !slices.Contains(t.clash.Mine, mine.ID) {
		t.clash.Mine = append(t.clash.Mine, mine.ID)
		t.mine = append(t.mine, t.Record.Says(&mine))
	}
	t.clash.Theirs = append(t.clash.Theirs, theirs)
	t.theirs = append(t.theirs, t.saidBy(e))
}

// hold holds a part of the deed back, as what others wrote stands.
func (t *Taking) hold(part int, mine string, e diary.Entry) {
	t.clash.Held = append(t.clash.Held, part)
	t.mine = append(t.mine, mine)
	t.theirs = append(t.theirs, t.saidBy(e))
}

// is reports whether there is something to choose.
func (t *Taking) is() bool { return len(t.clash.Held)+len(t.clash.Theirs) > 0 }

// last returns the last of others' entries of some acts that is about what match
// looks for.
func (t *Taking) last(match func(diary.Entry) (bool, error), acts ...string) (e diary.Entry, found bool, err error) {
	for i := len(t.others) - 1; i >= 0; i-- {
		if e = t.others[i]; !slices.Contains(acts, e.Act) {
			continue
		}
		if found, err = match(e); found || err != nil {
			return e, found, err
		}
	}
	return diary.Entry{}, false, nil
}

// detail reads what an entry is about. One that cannot be read is an error: what
// others wrote about the same thing must not be passed over.
func detail[T comparable](e diary.Entry) (T, error) {
	v, err := Unpack[T](e.Detail)
	if err == nil && v == *new(T) {
		err = errors.New("it is about nothing")
	}
	if err != nil {
		return v, fmt.Errorf("the diary's entry %d (%s) cannot be read: %w", e.Seq, e.Act, err)
	}
	return v, nil
}

// saidBy is an entry as people read it: what, who and when.
func (w *Writing) saidBy(e diary.Entry) string {
	return strings.TrimSuffix(e.Says, ".") + ". " + e.Who + ", " + words.DayTime(w.Record.Zone.In(e.At)) + "."
}
