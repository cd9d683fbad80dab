package gates_test

import (
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// What people write is counted in characters, as the database counts it: 400 "ü"
// are 800 bytes and fit, one more does not.
func TestWordsAreCountedInCharacters(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	d1 := r.Record.Positions[0].ID
	for what, c := range map[string]struct {
		write func(says string) deed.Deed
		fits  fault.Kind // what 400 characters are answered with
	}{
		"a snag":   {func(says string) deed.Deed { return deed.NoteSnag{Snag: room.Snag{Says: says}} }, ""},
		"a reason": {func(says string) deed.Deed { return deed.Hold{Position: d1, Why: says} }, ""},
		"a hole": {func(says string) deed.Deed {
			return deed.OpenHole{Hole: deed.Hole{Position: d1, Outcome: words.Found, Says: says}}
		}, fault.Obstacle}, // second fix has not begun
		"a correction": {func(says string) deed.Deed {
			return deed.CorrectOutcome{Opening: id.Opening{}, Outcome: words.Found, Says: says}
		}, fault.NotFound},
	} {
		for n, want := range map[int]fault.Kind{250: c.fits, 400: c.fits, 401: fault.BadInput} {
			_, err := s.Desk.Do(t.Context(), s.Foreman, r.Record.ID, c.write(strings.Repeat("ü", n)))
			if fault.KindOf(err) != want || want == "" && err != nil {
				t.Errorf("%s of %d characters: want %q, got %v", what, n, want, err)
			}
		}
	}
}
