package room

import (
	"fmt"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Event is something that was done at a time, after something else.
type Event int

// The events that have to follow something.
const (
	WasPutOn    Event = iota // a layer of a stage
	WasFinished              // a stage's work
	WasOffered               // a stage
	WasCut                   // a hole
	WasOwed                  // the patch of a hole
	WasFilled
	WasDry
	WasSeen   // a tail, free
	WasClosed // a snag
	WasStruck // a reading
)

// Subject is what an event happened to, by whichever of these tells it.
type Subject struct {
	Stage       words.Stage
	Opening     id.Opening
	Position    id.Position
	Snag        id.Snag
	Measurement id.Measurement
}

// order is what each event comes after. The database holds the same order
// (migrations/0019), as far as it takes a day or a time that somebody gives.
var order = map[Event]struct {
	field   string
	isDay   bool // the event has a day only
	byDay   bool // compared day by day
	after   func(*Record, Subject) (did string, at time.Time)
	cannot  string // "the hole can't have been cut"
	nowGive string
}{
	WasPutOn: {"on", true, true, signedBefore, "the layer can't have been put on", "Give the day it was put on"},
	WasFinished: {"on", true, true, signedBefore, "the work after it can't have been finished",
		"Give the day the work was finished"},
	WasOffered: {"at", false, false, (*Record).begun, "the stage can't have been offered", "Give when it was offered"},
	WasCut: {"at", false, true, func(r *Record, _ Subject) (string, time.Time) {
		return signedBefore(r, Subject{Stage: words.SecondFix})
	}, "the hole can't have been cut", "Give when the hole was cut"},
	WasOwed:   {"at", false, false, (*Record).cut, "no patch can have been owed", "Give when it was owed"},
	WasFilled: {"at", false, false, (*Record).cut, "it can't have been filled", "Give the day it was filled"},
	WasDry: {"at", false, false, (*Record).filled, "it can't have been dry",
		"Give the time from which it is dry"},
	WasSeen:   {"at", false, false, (*Record).added, "its tail can't have been seen", "Give when it was seen"},
	WasClosed: {"at", false, false, (*Record).noted, "it can't have been put right", "Give when it was put right"},
	WasStruck: {"at", false, false, (*Record).taken, "it can't have been struck out", "Give when it was struck out"},
}

// InOrder returns when an event was, as it stands on record: never before what it
// comes after. A day or a time that somebody gave is refused where it cannot be.
// One that a clock told becomes the nearest that can be: whose phone's clock is
// wrong has no field to mend, and what was done is not lost. Faults: BadInput.
func (r *Record) InOrder(e Event, of Subject, at time.Time, given bool) (time.Time, error) {
	o := order[e]
	did, first := o.after(r, of)
	if first.IsZero() {
		return at, nil
	}
	dayOf := r.Zone.Day
	if o.isDay {
		dayOf = words.UTC.Day
	}
	if o.byDay && !dayOf(at).Before(r.Zone.Day(first)) || !o.byDay && !at.Before(first) {
		return at, nil
	}
	switch {
	case !given && o.isDay:
		return r.Zone.Day(first), nil
	case !given:
		return first, nil
	}
	say := func(t time.Time) string { return words.DayTime(r.Zone.In(t)) }
	was, then := words.Day(r.Zone.Day(first)), words.Day(dayOf(at))
	if was == then {
		was, then = say(first), say(at)
	}
	wrong := fmt.Sprintf("%s on %s, so %s before that, on %s", did, was, o.cannot, then)
	return at, fault.Bad(words.Capital(wrong)+".", o.field, wrong, o.nowGive)
}

// signedBefore is the first sign-off of the stage before: what was done after it
// stays where it is, though that is opened and signed off again.
func signedBefore(r *Record, of Subject) (string, time.Time) {
	before, has := of.Stage.Before()
	if !has {
		return "", time.Time{}
	}
	return before.String() + " was signed off", r.FirstSigned[before]
}

// begun is when a stage came in hand.
func (r *Record) begun(of Subject) (string, time.Time) {
	before, has := of.Stage.Before()
	if !has {
		return "the room was drawn", r.CreatedAt
	}
	return before.String() + " was signed off", r.Gates[before].SignedAt
}

func (r *Record) cut(of Subject) (string, time.Time) {
	if o := find(r.Openings, of.Opening); o != nil {
		return "the hole was cut", o.At
	}
	return "", time.Time{}
}

func (r *Record) filled(of Subject) (string, time.Time) {
	if p := r.PatchOf(of.Opening); p != nil {
		return "the patch was filled", p.FilledAt
	}
	return "", time.Time{}
}

func (r *Record) added(of Subject) (string, time.Time) {
	if p := find(r.Positions, of.Position); p != nil {
		return p.Name + " was put on the schedule", p.AddedAt
	}
	return "", time.Time{}
}

func (r *Record) noted(of Subject) (string, time.Time) {
	if s := find(r.Snags, of.Snag); s != nil {
		return "the snag was noted", s.NotedAt
	}
	return "", time.Time{}
}

func (r *Record) taken(of Subject) (string, time.Time) {
	if m := find(r.Measurements, of.Measurement); m != nil {
		return "the reading was taken", m.TakenAt
	}
	return "", time.Time{}
}
