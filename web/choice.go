package web

import "time"

// ActsPath is the address at which a POST delivers what was done without
// signal.
const ActsPath = "/acts"

// ChoosePath returns the address at which a POST chooses which of two records
// of the same thing is to stand. Field of the form: choice (mine, theirs,
// both).
func ChoosePath(act string) string { return ActsPath + "/" + part(act) + "/choose" }

// ChoiceRow holds two records of the same thing, of which one is to stand. The
// partial "choices" draws a list of them.
type ChoiceRow struct {
	Act  string // its id, for the address
	At   Place
	Room string
	// Who wrote Mine; "You" if it is the viewer.
	Who  string
	Done time.Time
	Mine string
	// Theirs is what others wrote, with their names and the time.
	Theirs string
	// Both says that both may stand.
	Both bool
}

// Choices is the view of the partial "choices".
type Choices struct {
	Token string
	Rows  []ChoiceRow
	// WithRoom says that each names its room.
	WithRoom bool
}

func newChoices(token string, rows []ChoiceRow, withRoom bool) Choices {
	return Choices{token, rows, withRoom}
}
