package roomsheet

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The order in which people wrote things down changes nothing, to the last bit.
func TestOrderOfRecordsChangesNoBit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := drawRoom(t)
		other := shuffled(room, rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2)))
		a, b := byID(SetOut(room)), byID(SetOut(other))
		if d := cmp.Diff(a, b); d != "" {
			t.Fatal(d)
		}
	})
}

// byID returns every record of an answer as JSON, under its names.
func byID(a *Answer) map[string]string {
	out := map[string]string{}
	put := func(name string, v any) {
		data, err := json.Marshal(v)
		if err != nil {
			panic(err)
		}
		out[name] = string(data)
	}
	for _, s := range a.Surfaces {
		put(s.ID+" fit", s.Fit)
		for _, p := range s.Positions {
			if p.Place != nil {
				for _, o := range p.SetOut {
					put(s.ID+" "+p.ID+" "+o.From, o)
				}
				for _, timber := range p.Timbers {
					put(s.ID+" "+p.ID+" "+timber.ID, timber)
				}
				p.SetOut, p.Timbers = nil, nil
			}
			put(s.ID+" "+p.ID, p)
		}
		for _, l := range s.Layers {
			put(s.ID+" "+l.Datum+" "+l.Layer, l)
		}
		for _, m := range s.Measurements {
			put(s.ID+" "+m.ID, m)
		}
	}
	return out
}

// Same room in, same bytes out; and the input is left as it was.
func TestSetOutTwiceIsSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := drawRoom(t)
		var before, after bytes.Buffer
		if err := room.Write(&before); err != nil {
			t.Fatal(err)
		}
		first, err := json.Marshal(SetOut(room))
		second, _ := json.Marshal(SetOut(room))
		if err != nil || !bytes.Equal(first, second) {
			t.Fatalf("%v\n%s\n%s", err, first, second)
		}
		if err := room.Write(&after); err != nil || before.String() != after.String() {
			t.Fatalf("the room was changed: %v", err)
		}
	})
}

// An offset of 480 from a bare wall that reads 430 once the wall is dabbed,
// boarded and tiled: the sheet learns a build-up of 50. Common practice, no
// source. The planned build-up is loose here, so that the readings decide.
func TestBuildUpIsLearned(t *testing.T) {
	room := mustRead(t, `{"format": "lathmark-room/1", "room": "Bathroom", "surfaces": [{"id": "wall", "kind": "wall",
	 "datums": [
	  {"id": "left", "kind": "face", "line": [[0,2400],[0,0]], "now": "tile", "layers": [
	   {"id": "dabs", "thickness": 15, "sigma": 500, "stage": "boarding"},
	   {"id": "board", "thickness": 12.5, "sigma": 0.5, "stage": "boarding"},
	   {"id": "tile", "thickness": 10, "sigma": 500, "stage": "second fix"}]},
	  {"id": "floor", "kind": "line", "line": [[0,0],[2000,0]]}],
	 "positions": [{"id": "mixer", "kind": "pipe tail", "cutout": 35}],
	 "measurements": [
	  {"id": "m1", "kind": "offset", "of": "mixer", "from": "left", "state": "bare", "value": 480},
	  {"id": "m2", "kind": "offset", "of": "mixer", "from": "left", "state": "tile", "value": 430},
	  {"id": "m3", "kind": "offset", "of": "mixer", "from": "floor", "value": 1100}]}]}`)
	s := SetOut(room).Surfaces[0]
	var total float64
	for _, l := range s.Layers {
		total += l.Thickness
	}
	if math.Abs(total-50) > 0.01 {
		t.Errorf("build-up %v, want 50", total)
	}
	if got := s.Positions[0].SetOut[0]; got.State != "tile" || math.Abs(got.Value-430) > 0.01 {
		t.Errorf("mark at %v from the tiled wall, want 430", got)
	}
}

// The contract's sheet: what is not determinate has no numbers, what is
// unrecorded or unused says only that.
func TestSetOutOfUtility(t *testing.T) {
	a := SetOut(mustRead(t, utility(t)))
	if a.Format != "lathmark-setout/1" || a.Room != "Utility" || len(a.Surfaces) != 1 {
		t.Errorf("heading: %+v", a)
	}
	s := a.Surfaces[0]
	if d1 := s.Positions[0]; !d1.Determinate || len(d1.SetOut) != 5 || d1.SetOut[0].State != "skim" ||
		d1.SetOut[3].State != "" {
		t.Errorf("D1: %+v", d1)
	}
	data, err := json.Marshal(s.Measurements[7])
	if want := `{"id":"m8","unrecorded":true}`; err != nil || string(data) != want {
		t.Errorf("m8: %s, want %s", data, want)
	}
	one := mustRead(t, strings.Replace(utility(t), `"from": "flange", "value": -880`, `"from": "south", "value": 611`, 1))
	one.Surfaces[0].Measurements = one.Surfaces[0].Measurements[:6]
	a = SetOut(one)
	data, err = json.Marshal(a.Surfaces[0].Positions[1])
	if want := `{"id":"D2","determinate":false}`; err != nil || string(data) != want {
		t.Errorf("D2: %s, want %s", data, want)
	}
	data, _ = json.Marshal(a.Surfaces[0].Measurements[3])
	if want := `{"id":"m4","unused":true}`; string(data) != want {
		t.Errorf("m4: %s, want %s", data, want)
	}
}
