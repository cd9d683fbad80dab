package visit

import (
	"context"
	"encoding/json"
	"slices"
	"strings"

	"lathmark/domain/deed"
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

// taking is an act being taken.
type taking struct {
	w *deed.Writing
	// others are the entries about the room that others wrote since the copy.
	others       []diary.Entry
	clash        clash
	mine, theirs []string
}

// since reads what others wrote about the room since the copy.
func since(ctx context.Context, tx Tx, w *deed.Writing, by id.Member, copied int64) ([]diary.Entry, error) {
	all, err := tx.RoomDiary(ctx, w.Record.ID, copied)
	return slices.DeleteFunc(all, func(e diary.Entry) bool { return e.Member == by }), err
}

// beside notes that a reading of this act stands beside one of others'.
func (t *taking) beside(mine room.Measurement, theirs id.Measurement, e diary.Entry) {
	if !slices.Contains(t.clash.Mine, mine.ID) {
		t.clash.Mine = append(t.clash.Mine, mine.ID)
		t.mine = append(t.mine, t.w.Record.Says(&mine))
	}
	t.clash.Theirs = append(t.clash.Theirs, theirs)
	t.theirs = append(t.theirs, saidBy(e))
}

// hold holds a part of the deed back, as what others wrote stands.
func (t *taking) hold(part int, mine string, e diary.Entry) {
	t.clash.Held = append(t.clash.Held, part)
	t.mine = append(t.mine, mine)
	t.theirs = append(t.theirs, saidBy(e))
}

// is reports whether there is something to choose.
func (t *taking) is() bool { return len(t.clash.Held)+len(t.clash.Theirs) > 0 }

// last returns the last of others' entries of some acts that is about what match
// looks for.
func (t *taking) last(match func(diary.Entry) bool, acts ...string) (diary.Entry, bool) {
	for i := len(t.others) - 1; i >= 0; i-- {
		if e := t.others[i]; slices.Contains(acts, e.Act) && match(e) {
			return e, true
		}
	}
	return diary.Entry{}, false
}

// detail reads what an entry is about. One that cannot be read is about
// nothing that matters here.
func detail[T any](e diary.Entry) (v T) {
	if json.Unmarshal(e.Detail, &v) != nil {
		return *new(T)
	}
	return v
}

// saidBy is an entry as people read it: what, who and when.
func saidBy(e diary.Entry) string {
	return strings.TrimSuffix(e.Says, ".") + ". " + e.Who + ", " + words.DayTime(e.At) + "."
}
