package stage_test

import (
	"strings"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// What people write is counted in characters, as the database counts it: 400 "ü"
// are 800 bytes and fit, one more does not.
func TestWordsAreCountedInCharacters(t *testing.T) {
	s := dbtest.New(t)
	ctx, j := t.Context(), s.Utility(t, "D1")
	of, d1 := j.Record.ID, j.Record.Positions[0].ID
	for what, c := range map[string]struct {
		write func(says string) error
		fits  fault.Kind // what 400 characters are answered with
	}{
		"a snag": {func(says string) error {
			_, err := s.Stage.NoteSnag(ctx, s.Decorator, of, room.Snag{Says: says})
			return err
		}, ""},
		"a reason": {func(says string) error {
			_, err := s.Room.Hold(ctx, s.Foreman, of, d1, 0, says)
			return err
		}, ""},
		"a hole": {func(says string) error {
			_, err := s.Stage.Open(ctx, s.Electrician, of, stage.Hole{Position: d1, Outcome: words.Found, Says: says})
			return err
		}, fault.Obstacle}, // second fix has not begun
		"a correction": {func(says string) error {
			_, err := s.Stage.CorrectOutcome(ctx, s.Electrician, of, id.Opening{}, words.Found, says)
			return err
		}, fault.NotFound},
	} {
		for n, want := range map[int]fault.Kind{250: c.fits, 400: c.fits, 401: fault.BadInput} {
			err := c.write(strings.Repeat("ü", n))
			if fault.KindOf(err) != want || want == "" && err != nil {
				t.Errorf("%s of %d characters: want %q, got %v", what, n, want, err)
			}
		}
	}
}
