package sums_test

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/sums"
)

// What phones keep of a room lasts as long as a phone is without signal: a room that was kept is read and
// written again to the byte, and has the answer that it had.
func TestAKeptRoomIsRead(t *testing.T) {
	kept, err := os.ReadFile("testdata/kept.v2.json")
	if err != nil {
		t.Fatal(err)
	}
	kept = bytes.TrimSpace(kept)
	var r sums.Room
	if err := json.Unmarshal(kept, &r); err != nil {
		t.Fatal(err)
	}
	if again, err := json.Marshal(r); err != nil || !bytes.Equal(again, kept) {
		t.Errorf("it is written again as %s (%v)", again, err)
	}
	said, err := sums.Work([]byte(`{"room":` + string(kept) + `,"acts":[]}`))
	if err != nil {
		t.Fatal(err)
	}
	var out sums.Answer
	if err := json.Unmarshal(said, &out); err != nil || len(out.Holes) == 0 || len(out.SetOut.Surfaces) == 0 {
		t.Errorf("%s (%v)", said, err)
	}
}

func TestAnotherFormatIsAnError(t *testing.T) {
	for asked, want := range map[string]string{
		`{"room":{"format":"lathmark-sums/1","record":{}}}`: "another version",
		`{"room":{"format":"lathmark-sums/2"}}`:             "another version",
		`{"room":{"format":"lathmark-sums/3","record":{}}}`: "another version", `{}`: "another version",
		`{"room":{"format":"lathmark-sums/2","record":{"surfaces":7}}}`: "cannot be read", `7`: "cannot be read",
		``: "cannot be read",
	} {
		if _, err := sums.Work([]byte(asked)); fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", asked, err, want)
		}
	}
}
