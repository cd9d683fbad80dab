package web

import (
	"encoding/json"
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/web/drawing"
)

var funcs = template.FuncMap{
	"asset":      assetPath,
	"day":        Day,
	"dayTime":    DayTime,
	"short":      shortDay,
	"instant":    instant,
	"json":       asJSON,
	"mm":         MM,
	"odds":       Odds,
	"miss":       Miss,
	"count":      Count,
	"field":      newInput,
	"wide":       Input.wide,
	"of":         of,
	"leaf":       newLeafForm,
	"choices":    newChoices,
	"choosePath": ChoosePath,
	"pick":       newPick,
	"state":      drawing.StateWord,
	"faultOf":    faultsOf,
	"row":        drawing.RowAnchor,
	"onPlan":     drawing.PlanAnchor,
	"symbol":     drawing.Symbol,
	"upper":      strings.ToUpper,
	"options":    newOptions,
	"datumPick":  newDatumInput,
	"datumPads":  newDatumPads,
	"among":      among,
	"stage":      func(i int) string { return Stages[i] },
	"press":      newPress,
	"photoOf":    photoOf,
	"planNote":   drawing.Note,
	"gateOf":     func(s State, initials string) Gate { return Gate{State: s, Initials: initials} },
	"sums":       func() string { return Sums.Path },
}

// photoOf is "Photo of D4"; of nothing "Photo".
func photoOf(what string) string {
	if what == "" {
		return "Photo"
	}
	return "Photo of " + what
}

// Day returns a date as people say it: "Wed 25 Nov 2026"; "no date" for the zero
// time.
func Day(t time.Time) string {
	if t.IsZero() {
		return "no date"
	}
	return t.Format("Mon 2 Jan 2006")
}

// DayTime returns a date and the time of day: "Wed 25 Nov 2026, 14:05".
func DayTime(t time.Time) string {
	if t.IsZero() {
		return "no date"
	}
	return t.Format("Mon 2 Jan 2006, 15:04")
}

// instant returns a moment as scripts read it (RFC 3339), in UTC.
func instant(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// asJSON returns a value as scripts read it, its keys in order.
func asJSON(v any) (string, error) {
	text, err := json.Marshal(v)
	return string(text), err
}

// shortDay fits under a state frame.
func shortDay(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("Mon 2 Jan")
}

// MM returns a length in whole millimetres, half away from zero.
func MM(v float64) string {
	r := math.Round(v)
	if r == 0 {
		r = 0 // no "-0"
	}
	return strconv.FormatFloat(r, 'f', 0, 64)
}

// Odds tells a chance, 0 to 1, in words of tens: "about 1 in 30"; above one
// half "about 7 in 10".
func Odds(p float64) string {
	switch {
	case math.IsNaN(p):
		return "not known"
	case p >= 0.95:
		return "almost certain"
	case p > 0.5:
		return "about " + strconv.FormatFloat(math.Round(p*10), 'f', 0, 64) + " in 10"
	case p < 0.001:
		return "less than 1 in 1,000"
	}
	return "about 1 in " + roundOdds(1/p)
}

// Miss tells the chance of what is not to be, of a chance p that it is.
func Miss(p float64) string { return Odds(1 - p) }

// roundOdds rounds n to a figure that can be said: ones below ten, tens below
// a hundred, hundreds above.
func roundOdds(n float64) string {
	step := 1.0
	switch {
	case n >= 995:
		return "1,000"
	case n >= 95:
		step = 100
	case n >= 9.5:
		step = 10
	}
	return strconv.FormatFloat(math.Round(n/step)*step, 'f', 0, 64)
}

// Count says how many: "no obstacles", "1 obstacle", "3 obstacles".
func Count(n int, noun string) string {
	switch n {
	case 0:
		return "no " + plural(noun)
	case 1:
		return "1 " + noun
	}
	return fmt.Sprintf("%d %s", n, plural(noun))
}

func plural(noun string) string {
	if strings.HasSuffix(noun, "ch") {
		return noun + "es"
	}
	return noun + "s"
}

// faultsOf picks the faults of one field.
func faultsOf(faults []fault.Field, name string) []fault.Field {
	var own []fault.Field
	for _, f := range faults {
		if f.Path == name {
			own = append(own, f)
		}
	}
	return own
}
