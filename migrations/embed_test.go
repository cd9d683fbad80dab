package migrations

import (
	"fmt"
	"io/fs"
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
