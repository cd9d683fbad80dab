package migrations

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"
)

func TestEveryNumberGoesUpAndDown(t *testing.T) {
	for _, way := range []string{"up", "down"} {
		for n := 1; n <= Latest+1; n++ {
			found, err := fs.Glob(Files, fmt.Sprintf("%04d_*.%s.sql", n, way))
			if err != nil {
				t.Fatal(err)
			}
			want := 1
			if n > Latest {
				want = 0
			}
			if len(found) != want {
				t.Errorf("number %d has %d files that go %s, want %d: %v", n, len(found), way, want, found)
			}
		}
	}
}

// Every way down says what is lost on it.
func TestEveryWayDownSaysWhatIsLost(t *testing.T) {
	files, err := fs.Glob(Files, "*.down.sql")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		text, err := fs.ReadFile(Files, file)
		if first, _, _ := strings.Cut(string(text), "\n"); err != nil || !strings.HasPrefix(first, "-- Loses ") ||
			!strings.HasSuffix(first, ".") {
			t.Errorf("%s begins with %q", file, first)
		}
	}
}
