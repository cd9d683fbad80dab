package diary

import (
	"bytes"
	"encoding/base32"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"
)

// A mark is the first 80 bits, as the standard library's base 32 writes them.
func TestAMarkIsTheHashInShort(t *testing.T) {
	seed := uint64(time.Now().UnixNano() % 1_000_000)
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 1000 {
		var h Hash
		for i := range h {
			h[i] = byte(r.Uint32())
		}
		m := h.Mark()
		want := base32.NewEncoding(markLetters).EncodeToString(h[:10])
		if strings.ReplaceAll(string(m), "-", "") != want || len(m) != 19 {
			t.Fatalf("%x: %s, want %s", h, m, want)
		}
		for _, written := range []string{string(m), strings.ToUpper(string(m)), want,
			strings.NewReplacer("0", "O", "1", "l").Replace(string(m))} {
			if read, err := ParseMark(written); err != nil || read != m {
				t.Fatalf("%s is read as %s (%v)", written, read, err)
			}
		}
	}
	for _, bad := range []string{"", "7h2k-9qmz-04xt-c5d", "7h2k-9qmz-04xt-c5dww", "7h2k-9qmz-04xt-c5d!",
		"7h2k 9qmz 04xt c5dw"} {
		if m, err := ParseMark(bad); err == nil {
			t.Errorf("%q was read as %s", bad, m)
		}
	}
}

// What is written is read.
func TestMarksAreReadAsWritten(t *testing.T) {
	want := []Kept{{Hash{1}.Mark(), 1, "Ferry House", 2}, {Hash{2}.Mark(), 100000, "14 Orchard Row # 2", 3}}
	var file bytes.Buffer
	file.WriteString("# kept\n")
	for _, k := range want {
		file.WriteString(k.String() + "\n")
	}
	if got, err := ReadMarks(&file); err != nil || !slices.Equal(got, want) {
		t.Errorf("%v (%v), want %v", got, err, want)
	}
}
