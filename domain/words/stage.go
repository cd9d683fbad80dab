package words

import (
	"encoding/json"
	"fmt"
	"strings"
)

// Stage is one of the five stages of a room, in the order they are done, so
// that stages compare with < and >. The zero value is first fix.
type Stage int

// The stages, in order.
const (
	FirstFix   Stage = iota // cables, pipes and ducts run while the room is open
	Boarding                // boards on
	Plaster                 // skim, backing coats, tiles: whatever goes on the boards
	SecondFix               // holes opened, tails found
	Decoration              // paint
)

// Stages are all stages in order.
var Stages = []Stage{FirstFix, Boarding, Plaster, SecondFix, Decoration}

var (
	stageWords = [...]string{"first fix", "boarding", "plaster", "second fix", "decoration"}
	stageCodes = [...]string{"first_fix", "boarding", "plaster", "second_fix", "decoration"}
)

// String is the stage in the trade's words: "first fix".
func (s Stage) String() string { return word(int(s), stageWords[:]) }

// Code is the stage as it is stored: "first_fix". Codes never change.
func (s Stage) Code() string { return word(int(s), stageCodes[:]) }

// Slug is the stage as it stands in an address: "first-fix".
func (s Stage) Slug() string { return strings.ReplaceAll(s.String(), " ", "-") }

// ParseStage reads a stage from its code, its slug or its words; the error
// names what was given and what would have done.
func ParseStage(text string) (Stage, error) {
	i, err := find(strings.ReplaceAll(text, "-", " "), "stage", stageWords[:], stageCodes[:])
	return Stage(i), err
}

// MarshalText writes the stage's code, as every format that lasts has it.
func (s Stage) MarshalText() ([]byte, error) { return []byte(s.Code()), nil }

// UnmarshalText reads a stage as ParseStage does.
func (s *Stage) UnmarshalText(text []byte) (err error) {
	*s, err = ParseStage(string(text))
	return err
}

// UnmarshalJSON reads a code, or the stage's number from 0, as records of the
// first year had it.
func (s *Stage) UnmarshalJSON(text []byte) error {
	var n int
	if json.Unmarshal(text, &n) == nil {
		if n < 0 || n >= len(Stages) {
			return fmt.Errorf("there is no stage %d", n)
		}
		*s = Stages[n]
		return nil
	}
	var code string
	if err := json.Unmarshal(text, &code); err != nil {
		return err
	}
	return s.UnmarshalText([]byte(code))
}

// Before returns the stage before s; false for first fix, which has none.
func (s Stage) Before() (Stage, bool) { return s - 1, s > FirstFix }

// After returns the stages that follow s, in order; empty for decoration.
func (s Stage) After() []Stage { return Stages[s+1:] }

// State is how far the gate of one stage is. The zero value is waiting.
type State int

// The states of a gate.
const (
	Waiting   State = iota // the stage before is not signed off
	InHand                 // being worked on
	Offered                // the trade says it is done
	SignedOff              // the foreman has signed it off; its records are frozen
)

var (
	stateWords = [...]string{"waiting", "in hand", "offered", "signed off"}
	stateCodes = [...]string{"waiting", "in_hand", "offered", "signed_off"}
)

// String is the state in the trade's words: "in hand".
func (s State) String() string { return word(int(s), stateWords[:]) }

// Code is the state as it is stored: "in_hand". Codes never change.
func (s State) Code() string { return word(int(s), stateCodes[:]) }

// ParseState reads a state from its code or its words.
func ParseState(text string) (State, error) {
	i, err := find(text, "state", stateWords[:], stateCodes[:])
	return State(i), err
}

func word(i int, words []string) string {
	if i < 0 || i >= len(words) {
		return fmt.Sprintf("unknown (%d)", i)
	}
	return words[i]
}

// find returns the place of text in any of the lists, which run parallel.
func find(text, what string, lists ...[]string) (int, error) {
	for _, list := range lists {
		for i, w := range list {
			if w == text {
				return i, nil
			}
		}
	}
	return 0, fmt.Errorf("%q is no %s: one of %q", text, what, lists[0])
}
