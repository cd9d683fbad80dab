package room

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/words"
)

// Unreadable is the fault of a room in whose record there is what no program of ours
// writes; what is a noun for that, cause is for the log.
func Unreadable(what string, cause error) error {
	return &fault.Error{Kind: fault.Unreadable, Msg: "This room's record can't be read: something is wrong with " +
		what + ".", Err: cause}
}

// The times that a record may have: far from each that anybody writes.
const (
	firstYear, lastYear = 1900, 2199
	// longest is more than any length, angle or figure of a record, in mm.
	longest = 1e6
)

// Sound returns what in a record no program of ours writes: a time far off, a figure that
// is none, a kind, trade or outcome that does not exist. What the room sheet's check looks
// at is left to it. Faults: Unreadable.
func (r *Record) Sound() error {
	v := reflect.ValueOf(r).Elem()
	for i := range v.NumField() {
		if what := unsound(v.Field(i)); what != "" {
			name := v.Type().Field(i).Name
			return Unreadable(cmp.Or(called[name], "its "+strings.ToLower(name)), fmt.Errorf("%s in %s", what, name))
		}
	}
	return nil
}

// called are the lists of a record whose names are for programmers.
var called = map[string]string{"Room": "the room itself", "Measurements": "its readings",
	"Built": "its layers as built",
	"Seen":  "its tails that were seen", "Finished": "the days that its stages were finished", "Openings": "its holes",
	"Datums": "its datums"}

// unsound says what is wrong in a value; empty where nothing is.
func unsound(v reflect.Value) string {
	switch x := v.Interface().(type) {
	case time.Time:
		if year := x.Year(); !x.IsZero() && (year < firstYear || year > lastYear) {
			return fmt.Sprint("the year ", year)
		}
		return ""
	case words.Trade:
		return unlisted(x, append(words.Trades, ""))
	case words.Outcome:
		return unlisted(x, words.Outcomes)
	case WayKind:
		return unlisted(x, []WayKind{HoleWay, NotchWay})
	case float64:
		if math.IsNaN(x) || math.Abs(x) > longest {
			return fmt.Sprint("the figure ", x)
		}
		return ""
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				if what := unsound(v.Field(i)); what != "" {
					return what
				}
			}
		}
	case reflect.Slice, reflect.Array:
		if k := v.Type().Elem().Kind(); k == reflect.Uint8 {
			return ""
		}
		for i := range v.Len() {
			if what := unsound(v.Index(i)); what != "" {
				return what
			}
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return unsound(v.Elem())
		}
	}
	return ""
}

func unlisted[T ~string](v T, known []T) string {
	if slices.Contains(known, v) {
		return ""
	}
	return fmt.Sprintf("%q", string(v))
}
