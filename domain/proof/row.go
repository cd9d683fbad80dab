package proof

import (
	"encoding/json"
	"reflect"
	"strings"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// members are those of a record, as JSON has them. What is zero is left out.
type members map[string]any

// membersOf returns the members of a record.
func membersOf(v any) members {
	text, err := json.Marshal(v)
	var out members
	if err != nil || json.Unmarshal(text, &out) != nil {
		return members{"unreadable": string(text)}
	}
	for name, is := range out {
		if nothing(is) || is == roomsheet.Bare && (name == "from_state" || name == "surface_state") { // as stored
			delete(out, name)
		}
	}
	return out
}

// nothing reports whether a member says nothing.
func nothing(v any) bool {
	switch v := v.(type) {
	case nil:
		return true
	case string:
		return v == "" || v == "0001-01-01T00:00:00Z" || v == "00000000-0000-0000-0000-000000000000"
	case []any:
		return len(v) == 0
	case map[string]any:
		return len(v) == 0
	}
	return reflect.ValueOf(v).IsZero()
}

// row is a record as entries say.
type row struct {
	is  members
	seq int64 // of the last entry about it
	// known are the members that the entries say; nil: all.
	known map[string]bool
	// unlinked: the entry is from before surfaces and faces said which wall they are.
	unlinked bool
	// unmatched: it was read in from a sheet, and is known by its name alone.
	unmatched bool
}

// doer is a member that says who did what an entry is about, doneAt one that says when.
type (
	doer   struct{ by line }
	doneAt struct{ by line }
)

// line is what is kept of an entry.
type line struct {
	seq    int64
	at     time.Time
	member id.Member
	who    string
	says   string
}

// late is from when on an entry says when a thing was done besides when it came in: see
// deed.Writing.Note.
const late = 5 * time.Minute

// could reports whether what an entry is about was done at a time.
func (l *line) could(at time.Time) bool {
	if at.After(l.at) {
		return false
	}
	if l.at.Sub(at) <= late {
		return true
	}
	_, done, _ := strings.Cut(l.says, " Done on ")
	for hours := -12; hours <= 14; hours++ { // wherever the firm is
		for _, minutes := range []int{0, 30, 45} {
			zone := time.FixedZone("", hours*3600+minutes*60)
			if done == words.DayTime(at.In(zone))+"." {
				return true
			}
		}
	}
	return false
}

// ignored are members that stand for nothing that was written.
var ignored = map[string]bool{"version": true, "revision": true, "created_at": true,
	"since": true}

// same reports whether a member that entries say is the one that is stored.
func (t *told) same(was, is any) bool {
	switch was := was.(type) {
	case doer:
		return is == was.by.member.String() || is == t.chosen[was.by.at.UnixMicro()]
	case doneAt:
		at, ok := timeOf(is)
		return ok && was.by.could(at)
	case string:
		if real, matched := t.alias[was]; matched {
			was = real
		}
		a, okA := timeOf(was)
		b, okB := timeOf(is)
		return was == is || okA && okB && a.UnixMicro() == b.UnixMicro()
	case []any:
		list, ok := is.([]any)
		if !ok || len(was) != len(list) {
			return false
		}
		for i := range was {
			if !t.same(was[i], list[i]) {
				return false
			}
		}
		return true
	case map[string]any:
		other, ok := is.(map[string]any)
		for name := range was {
			ok = ok && t.same(was[name], other[name])
		}
		return ok && len(was) == len(other)
	}
	return reflect.DeepEqual(was, is)
}

func timeOf(v any) (time.Time, bool) {
	text, _ := v.(string)
	if len(text) < len("2006-01-02T15:04:05Z") {
		return time.Time{}, false
	}
	at, err := time.Parse(time.RFC3339Nano, text)
	return at, err == nil
}
