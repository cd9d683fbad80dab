package main

import (
	"bytes"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestTrial runs a tenth of the trial: the adjustment finds more than the
// note, and what it says of its own chances is what comes of them.
func TestTrial(t *testing.T) {
	var out bytes.Buffer
	got := run(&out, 1500, 7)
	t.Log(out.String())
	if got.tails < 1500 || got.raw.found+got.raw.missed < got.tails-got.raw.onTimber {
		t.Fatalf("holes are missing: %+v", got)
	}
	if !(got.heeded.found > got.nominal.found && got.heeded.found > got.raw.found) {
		t.Errorf("found %d adjusted, %d by the planned build-up, %d by the note", got.heeded.found, got.nominal.found,
			got.raw.found)
	}
	for name, c := range map[string]calibration{"found": got.find, "on timber": got.hit} {
		if off := math.Abs(c.share()-c.given()) / c.error(); !(off < 4) {
			t.Errorf("%s: %.4f came, %.4f given, %.1f standard errors apart", name, c.share(), c.given(), off)
		}
	}
	if !strings.Contains(out.String(), "seed 7") {
		t.Error("the seed is not printed")
	}
}

// TestSameRoomsForAll: one seed, one table.
func TestSameRoomsForAll(t *testing.T) {
	var a, b bytes.Buffer
	run(&a, 100, 3)
	run(&b, 100, 3)
	if a.String() != b.String() {
		t.Errorf("the same seed gave\n%s\nand\n%s", &a, &b)
	}
}

// TestCentreIsTheOffsetsInverse: a hole marked at the true offsets of a place
// is at that place, walls leaning or not.
func TestCentreIsTheOffsetsInverse(t *testing.T) {
	for k, p := range plans {
		s := newSite(rand.New(rand.NewPCG(uint64(k), 1)), p)
		for i, at := range s.tape {
			ways := s.ways(i)
			from := [2]int{ways[0][0], ways[1][0]}
			var offsets [2]float64
			for e, d := range from {
				offsets[e] = s.offset(at, d, s.known.Datums[d].Now, s.known.Now)
			}
			if h := s.centre(from, offsets); math.Hypot(h.U-at.U, h.V-at.V) > 1e-6 {
				t.Errorf("%s: %v instead of %v", p.name, h, at)
			}
		}
	}
}

// TestNotesAreOfTheRoom: but for the stated share of slips, a note is what a
// tape would say of the true room.
func TestNotesAreOfTheRoom(t *testing.T) {
	for k, p := range plans {
		rng := rand.New(rand.NewPCG(uint64(k), 2))
		s := newSite(rng, p)
		f := s.firstFix(rng)
		if len(f.notes) != 4*len(s.tape) {
			t.Fatalf("%s: %d notes for %d tails", p.name, len(f.notes), len(s.tape))
		}
		off := 0
		for _, z := range f.notes {
			if math.Abs(z.Value-s.offset(s.tape[z.Of], z.From, f.state[z.From], 0)) > 9 {
				off++
			}
		}
		if off > len(f.notes)/8 {
			t.Errorf("%s: %d of %d notes are off by more than a tape is", p.name, off, len(f.notes))
		}
	}
}
