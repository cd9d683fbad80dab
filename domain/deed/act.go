package deed

import (
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Act is one thing that somebody did on site, as a phone kept it.
type Act struct {
	ID   id.Act // made on the phone; the ids of the records come from it
	Room id.Room
	Made time.Time // by the phone's clock
	// Copy is the number of the job's last diary entry in what the person had
	// before them, 0 where there was none.
	Copy int64
	Deed Deed
}

// Word is what came of an act, in a word.
type Word string

// The words, as stored.
const (
	Kept    Word = "kept"    // it is on record, or was already
	Both    Word = "both"    // somebody else wrote about the same thing: to choose
	Refused Word = "refused" // nothing was written; the reason may pass
)

// Words are all of them.
var Words = []Word{Kept, Both, Refused}

// Answer is what came of an act.
type Answer struct {
	Act  id.Act
	Word Word
	// Says is the answer in a sentence.
	Says string
	// Mine and Theirs are what there is to choose between, in sentences; only
	// for Both.
	Mine, Theirs string
	// Fields are what has to be mended of what was Refused.
	Fields []fault.Field
}

// refusal is the answer to an act that a fault stands in the way of.
func refusal(act id.Act, f *fault.Error) Answer {
	return Answer{Act: act, Word: Refused, Says: f.Msg, Fields: f.Fields}
}

// Choice is which of two records of the same thing is to stand.
type Choice string

// The choices, as stored.
const (
	Mine    Choice = "mine"   // that of the person whose act it was
	Theirs  Choice = "theirs" // what others wrote
	KeepTwo Choice = "both"   // both readings, or two holes
)

// Choices are all of them.
var Choices = []Choice{Mine, Theirs, KeepTwo}

// Pending is an act that waits for a choice.
type Pending struct {
	StoredAct
	May []Choice // what can be chosen
}
