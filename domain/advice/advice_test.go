package advice

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// rooms are the invented rooms of testdata.
func rooms(t *testing.T) map[string][]roomsheet.Solved {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "rooms", "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	out := map[string][]roomsheet.Solved{}
	for _, file := range files {
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		room, err := roomsheet.Read(f)
		_ = f.Close() // only read
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(file)] = room.Solve()
	}
	return out
}

// Whatever the room: sentences stand in the order of their grades, a hole that may
// be cut clears and is likely found, one that may not says why first, and each
// trade has at most one proof, which may be cut and is not in doubt.
func TestAdviceHoldsTogether(t *testing.T) {
	weight := map[Grade]int{Stop: 0, Warn: 1, Tell: 2}
	for name, solved := range rooms(t) {
		said := Of(solved, func(_, _ int) Known { return Known{Trade: words.Electrician} })
		first := 0
		for i := range said {
			for p := range said[i] {
				h, plan := &said[i][p], &solved[i].Answer.Positions[p].Plan
				for k := range h.Lines {
					if k > 0 && weight[h.Lines[k].Grade] < weight[h.Lines[k-1].Grade] {
						t.Errorf("%s %s: %+v", name, h.Name, h.Lines)
					}
					if !strings.HasSuffix(h.Lines[k].Says, ".") {
						t.Errorf("%s %s: %q", name, h.Name, h.Lines[k].Says)
					}
				}
				if h.MayCut && (plan.Stop() || h.Doubt != "" || len(h.Marks) != 2) ||
					!h.MayCut && (len(h.Lines) == 0 || h.Lines[0] != (Line{Stop, h.Why})) {
					t.Errorf("%s: %+v", name, h)
				}
				if h.First {
					first++
					if !h.MayCut {
						t.Errorf("%s: the proof may not be cut: %+v", name, h)
					}
				}
			}
		}
		cut := said.ToCut()
		if first > 1 || len(cut) > 0 && first == 1 && !cut[0].First {
			t.Errorf("%s: %d proofs, %d to cut", name, first, len(cut))
		}
	}
}

// The landing's P1 lies over a joist, further from its edge than its tail can be
// reached: nobody is sent there, and it is nobody's proof.
func TestATailBehindATimberStops(t *testing.T) {
	said := Of(rooms(t)["landing.json"], nil)
	for i := range said {
		for p := range said[i] {
			if h := &said[i][p]; h.Name == "P1" {
				if !strings.HasPrefix(h.Why, "Stop: the tail is behind timber J4 or too close to it") || h.MayCut || h.First ||
					!h.Open || h.Moved != "" {
					t.Errorf("%+v", h)
				}
				return
			}
		}
	}
	t.Error("there is no P1")
}

// Nothing is cut where a sheet says that the surface is not plastered, and what the
// record knows comes before all else.
func TestWhatStopsAHole(t *testing.T) {
	solved := rooms(t)["landing.json"]
	for _, c := range []struct {
		known Known
		want  string
	}{
		{Known{}, ""},
		{Known{Shut: NotBefore}, NotBefore},
		{Known{Gone: "held: no fan yet", Shut: NotBefore}, "Held: no fan yet."},
	} {
		h := Of(solved, func(_, _ int) Known { return c.known })[0][0]
		if h.Name == "P1" {
			h = Of(solved, func(_, _ int) Known { return c.known })[0][1]
		}
		if h.Why != c.want || h.MayCut != (c.want == "") || h.Open != (c.known.Gone == "") {
			t.Errorf("%+v: %+v", c.known, h)
		}
	}
	bare := *solved[0].Surface
	bare.Now = "bare"
	if shut(&bare) != NotBefore || shut(solved[0].Surface) != "" {
		t.Errorf("bare: %q, now: %q", shut(&bare), shut(solved[0].Surface))
	}
}

// Each trade has a proof of its own, where it has two holes or more and none has
// proved the set-out yet.
func TestEachTradeHasItsOwnProof(t *testing.T) {
	solved := rooms(t)["kitchen.json"]
	trade := func(p int) words.Trade {
		return []words.Trade{words.Electrician, words.Plumber}[p%2]
	}
	proofs := func(known func(p int) Known) (out []words.Trade) {
		for _, h := range Of(solved, func(_, p int) Known { return known(p) }).ToCut() {
			if h.First {
				out = append(out, h.Trade)
			}
		}
		return out
	}
	if got := proofs(func(p int) Known { return Known{Trade: trade(p)} }); len(got) != 2 || got[0] != words.Electrician ||
		got[1] != words.Plumber {
		t.Error(got)
	}
	if got := proofs(func(p int) Known { return Known{Trade: trade(p), Proved: p%2 == 0} }); len(got) != 1 ||
		got[0] != words.Plumber {
		t.Error(got)
	}
	if got := proofs(func(p int) Known { // one hole is no row of holes
		if p == 0 {
			return Known{Trade: words.Plumber}
		}
		return Known{Trade: words.Electrician}
	}); len(got) != 1 || got[0] != words.Electrician {
		t.Error(got)
	}
}

// The gap to a timber is the adjustment's own where the hole has not moved.
func TestGapIsTheAnswers(t *testing.T) {
	for name, solved := range rooms(t) {
		for _, s := range solved {
			for i, a := range s.Answer.Positions {
				for k, timber := range a.Timbers {
					if got := gapTo(&s.Geometry.Timbers[k], a.At, s.Geometry.Positions[i].Cutout/2); math.Abs(got-timber.Gap) > 1e-6 {
						t.Errorf("%s: gap %v, the answer says %v", name, got, timber.Gap)
					}
				}
			}
		}
	}
}
