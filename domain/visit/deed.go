package visit

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
	"lathmark/domain/words"
)

// Kind is what sort of thing was done.
type Kind string

// The kinds, as sent and as stored.
const (
	KindMeasure  Kind = "measure"
	KindCorrect  Kind = "correct"
	KindStrike   Kind = "strike"
	KindSeeTails Kind = "see-tails"
	KindPutOn    Kind = "put-on"
	KindFinish   Kind = "finish"
	KindOpen     Kind = "open-hole"
	KindOwe      Kind = "owe-patch"
	KindFill     Kind = "patch-filled"
	KindDry      Kind = "patch-dry"
	KindSnag     Kind = "snag"
	KindSnagDone Kind = "snag-done"
	KindOffer    Kind = "offer"
)

// Kinds are all of them.
var Kinds = []Kind{KindMeasure, KindCorrect, KindStrike, KindSeeTails, KindPutOn, KindFinish, KindOpen, KindOwe,
	KindFill, KindDry,
	KindSnag, KindSnagDone, KindOffer}

// Deed is what was done: one of the types below. They are stored as JSON.
type Deed interface {
	// do does it, or holds it back where others wrote about the same thing.
	do(ctx context.Context, t *taking) error
	// force puts what was held back in the place of what others wrote.
	force(ctx context.Context, w *deed.Writing, c clash) error
}

// The deeds.
type (
	// Measure is a reading that was taken.
	Measure struct{ Reading room.Reading }
	// Correct puts right what was written down of a reading.
	Correct struct{ Reading room.Reading }
	// Strike strikes a reading out.
	Strike struct {
		Measurement id.Measurement
		Why         string
	}
	// SeeTails are tails that were seen free.
	SeeTails struct{ Positions []id.Position }
	// PutOn are build-ups as they were put on.
	PutOn struct{ List []stage.PutOn }
	// Finish is the day a stage's work was finished.
	Finish struct {
		Stage words.Stage
		On    time.Time
	}
	// OpenHole is a hole with what it showed.
	OpenHole struct{ Hole stage.Hole }
	// OwePatch says that a hole has to be made good.
	OwePatch struct{ Opening id.Opening }
	// FillPatch says that a patch was filled.
	FillPatch struct{ Opening id.Opening }
	// DryPatch says that somebody looked and found a patch dry.
	DryPatch struct{ Opening id.Opening }
	// NoteSnag is a fault that has to be put right.
	NoteSnag struct{ Snag room.Snag }
	// CloseSnag says that one was put right.
	CloseSnag struct{ Snag id.Snag }
	// Offer says that a stage is done.
	Offer struct{ Stage words.Stage }
)

// KindOf tells of which kind a deed is.
func KindOf(d Deed) Kind {
	switch d.(type) {
	case Measure:
		return KindMeasure
	case Correct:
		return KindCorrect
	case Strike:
		return KindStrike
	case SeeTails:
		return KindSeeTails
	case PutOn:
		return KindPutOn
	case Finish:
		return KindFinish
	case OpenHole:
		return KindOpen
	case OwePatch:
		return KindOwe
	case FillPatch:
		return KindFill
	case DryPatch:
		return KindDry
	case NoteSnag:
		return KindSnag
	case CloseSnag:
		return KindSnagDone
	case Offer:
		return KindOffer
	}
	return ""
}

// readers read a stored deed of each kind.
var readers = map[Kind]func(json.RawMessage) (Deed, error){
	KindMeasure: read[Measure], KindCorrect: read[Correct], KindStrike: read[Strike], KindSeeTails: read[SeeTails],
	KindPutOn: read[PutOn], KindFinish: read[Finish], KindOpen: read[OpenHole], KindOwe: read[OwePatch],
	KindFill: read[FillPatch],
	KindDry:  read[DryPatch], KindSnag: read[NoteSnag], KindSnagDone: read[CloseSnag], KindOffer: read[Offer],
}

func read[D Deed](text json.RawMessage) (Deed, error) {
	var d D
	err := json.Unmarshal(text, &d)
	return d, err
}

// deedOf reads a stored deed.
func deedOf(k Kind, text json.RawMessage) (Deed, error) {
	of, ok := readers[k]
	if !ok {
		return nil, fmt.Errorf("there is no deed of kind %q", k)
	}
	return of(text)
}

// brought says what an act brought, for the diary.
var brought = map[Kind]string{
	KindMeasure: "a reading", KindCorrect: "a reading put right", KindStrike: "a reading struck out",
	KindSeeTails: "tails seen free",
	KindPutOn:    "a build-up as put on", KindFinish: "the day a stage was finished", KindOpen: "a hole",
	KindOwe:  "a patch owed",
	KindFill: "a patch filled", KindDry: "a patch found dry", KindSnag: "a snag", KindSnagDone: "a snag put right",
	KindOffer: "a stage offered",
}
