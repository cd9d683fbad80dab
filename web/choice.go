package web

import "time"

// ActsPath is the address at which a POST takes what was done without signal.
const ActsPath = "/acts"

// ChoosePath returns the address at which a POST takes which of two records of
// the same thing is to stand. Field of the form: choice (mine, theirs, both).
func ChoosePath(act string) string { return ActsPath + "/" + part(act) + "/choose" }

// ChoiceRow is two records of the same thing, of which one is to stand. The
// partial "choices" draws a list of them.
type ChoiceRow struct {
	Act  string // its id, for the address
	At   Place
	Room string
	// Who wrote Mine, "You" where it is the person who looks.
	Who  string
	Done time.Time
	Mine string
	// Theirs is what others wrote, with who and when.
	Theirs string
	// Both: both may stand.
	Both bool
}

// Choices is what the partial "choices" is drawn from.
type Choices struct {
	Token string
	Rows  []ChoiceRow
	// WithRoom: each says in which room it is.
	WithRoom bool
}

func newChoices(token string, rows []ChoiceRow, withRoom bool) Choices {
	return Choices{token, rows, withRoom}
}
