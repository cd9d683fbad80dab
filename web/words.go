package web

import (
	"encoding/json"
	"fmt"
	"html/template"
	"strings"
	"time"

	"lathmark/domain/caution"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/web/drawing"
)

var funcs = template.FuncMap{
	"asset":      assetPath,
	"date":       ofDay(words.Date),
	"shortDate":  ofDay(words.ShortDay),
	"instant":    Instant,
	"json":       asJSON,
	"mm":         words.MM,
	"plusMinus":  words.PlusMinus,
	"decide":     func() string { return caution.Decide },
	"count":      words.Count,
	"field":      newInput,
	"wide":       Input.wide,
	"needs":      needs,
	"of":         of,
	"leaf":       newLeafForm,
	"choices":    newChoices,
	"choosePath": ChoosePath,
	"walls":      newWallChoices,
	"list":       words.List,
	"marksOf":    newMarksTable,
	"marksTitle": marksTitle,
	"holeNames":  holeNames,
	"cautionsOf": newHoleCautions,
	"more":       func(all []Caution) int { return len(all) - 1 },
	"readings":   newReadings,
	"doubt":      newDoubt,
	"planning":   newPlanned,
	"onRoom":     newRoomPart,
	"pick":       newPick,
	"state":      words.StateOf,
	"faultOf":    faultsOf,
	"row":        drawing.RowAnchor,
	"onPlan":     drawing.PlanAnchor,
	"near":       NearAnchor,
	"symbol":     drawing.Symbol,
	"upper":      strings.ToUpper,
	"options":    newOptions,
	"datumPick":  newDatumInput,
	"datumPads":  newDatumPads,
	"among":      among,
	"stage":      func(i int) string { return Stages[i] },
	"press":      newPress,
	"does":       does,
	"dayField":   dayField,
	"inDiary":    func(day DiaryDay, in DiaryView) dayIn { return dayIn{day, in} },
	"entries":    entries,
	"snagDone":   snagDone,
	"photoOf":    photoOf,
	"planNote":   drawing.Note,
	"gateOf":     func(s, initials string) Gate { return Gate{State: State(s), Initials: initials} },
	"capital":    words.Capital,
	"inWords":    words.InWords,
	"endSession": EndSession,
	"endKey":     EndKey,
	"endPasskey": EndPasskey,
	"takeBack":   TakeBack,
	"roomPage":   func(of id.Room) string { return Place{Room: of.String()}.RoomPage() },
	"personPage": PersonPage,
	"sums":       func() string { return Sums.Path },

	"tradeHatchings": drawing.TradeHatchings,
	"tradeSwatch":    drawing.TradeSwatch,
	"chartKey":       drawing.ChartKey,
	"keptSays":       KeptSays,
	"sure":           Sure,
	"span":           Span,
	"stages":         func() [5]string { return Stages },
	"placedSays":     PlacedSays,
	"joinPiece":      JoinPiece,
	"moveAt":         MoveAt,
	"crewPage":       CrewPage,
	"endCrew":        EndCrew,
	"crewAway":       CrewAway,
	"crewLink":       CrewLink,
	"endCrewLink":    EndCrewLink,
	"backAgain":      BackAgain,
	"awayList":       newAwayList,
	"weekOf":         newWeekDays,
	"crewOptions":    crewOptions,
	"sureOf":         SureOf,
	"settled":        settled,
	"jobAt":          func(of id.Job) Place { return Place{Job: of.String()} },
}

// momentsIn are the functions that say moments, as clocks in a zone show them.
func momentsIn(z words.Zone) template.FuncMap {
	in := func(say func(time.Time) string) func(time.Time) string {
		return func(t time.Time) string { return say(z.In(t)) }
	}
	return template.FuncMap{"day": in(words.Date), "dayTime": in(words.DateTime), "short": in(words.ShortDay),
		"clock": in(words.Clock)}
}

// ofDay is a function that says a day, and refuses a moment: its day depends on the
// zone.
func ofDay(say func(time.Time) string) func(time.Time) (string, error) {
	return func(day time.Time) (string, error) {
		if !day.Equal(words.UTC.Day(day)) {
			return "", fmt.Errorf("%s is a moment and not a day", day.Format(time.RFC3339))
		}
		return say(day), nil
	}
}

// photoOf returns "Photo of D4", or "Photo" for nothing.
func photoOf(what string) string {
	if what == "" {
		return "Photo"
	}
	return "Photo of " + what
}

// Instant returns a time as scripts read it (RFC 3339), in UTC.
func Instant(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// asJSON returns a value as scripts read it, its keys in order.
func asJSON(v any) (string, error) {
	text, err := json.Marshal(v)
	return string(text), err
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

// dayField returns a day as a field has it; "" for none.
func dayField(day time.Time) string {
	if day.IsZero() {
		return ""
	}
	return day.Format(time.DateOnly)
}

// snagDone is what is on the button: whoever runs the jobs has looked at it with that.
func snagDone(closes bool) string {
	if closes {
		return "Put right: close it"
	}
	return "Put right"
}

// dayIn is a day with the diary that it is in.
type dayIn struct {
	Day DiaryDay
	In  DiaryView
}

// entries is "1 entry", "3 entries".
func entries(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}
