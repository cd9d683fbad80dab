package id

import (
	"encoding/json"
	"testing"

	"lathmark/domain/fault"
)

func TestTextThereAndBack(t *testing.T) {
	for _, want := range []Room{{}, New[Room]()} {
		text, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var got Room
		if err := json.Unmarshal(text, &got); err != nil || got != want {
			t.Errorf("%s comes back as %s (%v)", text, got, err)
		}
	}
}

func TestNewSortsByTime(t *testing.T) {
	last := New[Job]().String()
	for range 1000 {
		next := New[Job]().String()
		if next <= last {
			t.Fatalf("%s was made after %s", next, last)
		}
		if next[14] != '7' {
			t.Fatalf("%s is not of version 7", next)
		}
		last = next
	}
}

func TestParseRefuses(t *testing.T) {
	for _, text := range []string{"", "x", "{018f0000-0000-7000-8000-000000000001}", "018f00000000700080000000000000001"} {
		if _, err := Parse[Room](text); fault.KindOf(err) != fault.NotFound {
			t.Errorf("%q: %v", text, err)
		}
	}
	made := New[Room]()
	if got, err := Parse[Room](made.String()); err != nil || got != made {
		t.Errorf("%s read as %s: %v", made, got, err)
	}
	if OrNew(made) != made || OrNew(Room{}).IsZero() {
		t.Error("OrNew keeps what is given and makes what is not")
	}
}
