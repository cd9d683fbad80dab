package deed_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/caution"
	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/persistence/dbtest"

	"pgregory.net/rapid"
)

// joisted is a ceiling with two joists of the worked example, D 195 and 3,600
// long, one without a depth, and the ways given. The figures that its tests
// want are those of domain/caution/testdata/worked.csv (computed there from BS
// 5268-2 and NHBC 6.4.18 Table 6).
func joisted(kind string, ways ...room.Way) (*room.Record, id.Surface) {
	s := id.New[id.Surface]()
	r := &room.Record{Surfaces: []room.Surface{{ID: s, Name: "ceiling", Kind: kind}}}
	for i, depth := range []float64{195, 195, 0} {
		v := 400 * float64(i+1)
		r.Timbers = append(r.Timbers, room.Timber{ID: id.New[id.Timber](), Surface: s, Name: "J" + string(rune('1'+i)),
			A: roomsheet.Point{0, v}, B: roomsheet.Point{3600, v}, Width: 47, Depth: depth})
	}
	for _, w := range ways {
		w.ID, w.Surface = id.New[id.Way](), s
		r.Ways = append(r.Ways, w)
	}
	return r, s
}

func run(name string, kind room.WayKind, u, size float64) room.Way {
	return room.Way{Name: name, Kind: kind, A: roomsheet.Point{u, 1000}, B: roomsheet.Point{u, 100}, Size: size}
}

// judged are the codes of a crossing's cautions with the document of each.
func judged(c room.Crossing) (out []string) {
	for _, one := range c.Cautions {
		document, _, _ := strings.Cut(one.Source.Document, ",")
		out = append(out, document+" "+one.Code)
	}
	return out
}

// A hole of 20 at 1,200 keeps to both British tables (900 to 1,440, 48.75 at
// most); each of the others leaves one or both.
func TestWhereAWayCrosses(t *testing.T) {
	const bs, nhbc, irc = "BS 5268-2:2002 joist/", "NHBC Standards 2020 joist/",
		"International Residential Code (US) joist/"
	const shallow = "BS 7671:2018+A2:2022 cable_notch" // a notch leaves no 50 mm above the cable
	for _, c := range []struct {
		name  string
		way   room.Way
		at    float64
		share float64
		want  []string
	}{
		{"inside", run("to D1", room.HoleWay, 1200, 20), 1200, 1.0 / 3, nil},
		{"from the far end", run("to D1", room.HoleWay, 2400, 20), 1200, 1.0 / 3, nil},
		{"in the middle", run("to D1", room.HoleWay, 1800, 20), 1800, 0.5, []string{bs + "hole_place", nhbc + "hole_place"}},
		{"too wide", run("to D1", room.HoleWay, 1200, 49), 1200, 1.0 / 3, []string{bs + "hole_size", nhbc + "hole_size"}},
		{"a notch between both", run("to D1", room.NotchWay, 600, 24), 600, 1.0 / 6, []string{shallow}},
		{"a notch too near", run("to D1", room.NotchWay, 300, 24), 300, 1.0 / 12, []string{nhbc + "notch_place", shallow}},
		{"a notch for one only", run("to D1", room.NotchWay, 600, 29), 600, 1.0 / 6, []string{bs + "notch_depth", shallow}},
	} {
		r, s := joisted("ceiling", c.way)
		got := r.Through(s)
		if len(got) != 1 || len(got[0].Crossings) != 2 {
			t.Fatalf("%s: %+v", c.name, got)
		}
		// The cable runs down the sheet: J2 comes before J1.
		for k, name := range []string{"J2", "J1"} {
			x := got[0].Crossings[k]
			if x.Timber.Name != name || x.Span != 3600 || x.At != c.at || math.Abs(x.Share()-c.share) > 1e-12 || x.NeedsDepth {
				t.Errorf("%s, %s: %+v", c.name, name, x)
			}
			if codes := judged(x); !slices.Equal(codes, c.want) {
				t.Errorf("%s, %s: %v, want %v", c.name, name, codes, c.want)
			}
		}
	}
	high := run("to D1", room.HoleWay, 1200, 20)
	high.Height = 120 // the centre line of D 195 is at 97.5
	r, s := joisted("ceiling", high)
	if got := judged(r.Through(s)[0].Crossings[0]); !slices.Equal(got,
		[]string{bs + "hole_centre", nhbc + "hole_centre"}) {
		t.Errorf("above the centre line: %v", got)
	}
	high.Height = 170
	r, s = joisted("ceiling", high)
	if got := judged(r.Through(s)[0].Crossings[0]); !slices.Contains(got, irc+"hole_edge") {
		t.Errorf("near the upper edge: %v", got)
	}
}

func TestAWayWithoutADepthAndOneThatIsNoJoists(t *testing.T) {
	w := run("to D1", room.HoleWay, 1800, 20)
	w.A[1] = 1300
	r, s := joisted("ceiling", w)
	if x := r.Through(s)[0].Crossings; len(x) != 3 || x[0].Timber.Name != "J3" || !x[0].NeedsDepth ||
		x[0].Cautions != nil {
		t.Errorf("without a depth: %+v", x)
	}
	r, s = joisted("wall", w)
	for _, x := range r.Through(s)[0].Crossings {
		if x.NeedsDepth || len(x.Cautions) != 1 || x.Cautions[0] != caution.NotAJoist {
			t.Errorf("a stud: %+v", x)
		}
	}
	if got := r.JoistLimits(s); got != nil {
		t.Errorf("limits for studs: %+v", got)
	}
	along := room.Way{Name: "along", Kind: room.HoleWay, A: roomsheet.Point{0, 400}, B: roomsheet.Point{3600, 400},
		Size: 20}
	short := room.Way{Name: "short", Kind: room.HoleWay, A: roomsheet.Point{1200, 410}, B: roomsheet.Point{1200, 790},
		Size: 20}
	past := room.Way{Name: "past", Kind: room.HoleWay, A: roomsheet.Point{3601, 0}, B: roomsheet.Point{3601, 1300},
		Size: 20}
	r, s = joisted("ceiling", along, short, past)
	for _, got := range r.Through(s) {
		if len(got.Crossings) != 0 {
			t.Errorf("%s crosses %+v", got.Name, got.Crossings)
		}
	}
}

// Two ways through the same joist are judged together: BS 5268-2 wants holes
// three diameters apart, NHBC 100 mm between them.
func TestTwoWaysThroughOneJoist(t *testing.T) {
	r, s := joisted("ceiling", run("to D1", room.HoleWay, 1200, 20), run("to D2", room.HoleWay, 1250, 20))
	for i, other := range []string{"to D2", "to D1"} {
		x := r.Through(s)[i].Crossings[0]
		if got := judged(x); !slices.Equal(got, []string{"BS 5268-2:2002 joist/apart", "NHBC Standards 2020 joist/apart",
			"International Residential Code (US) joist/apart"}) {
			t.Errorf("%v", got)
		}
		if !strings.HasSuffix(x.Cautions[0].Text, "The other is of the way "+other+".") {
			t.Error(x.Cautions[0].Text)
		}
	}
}

func TestJoistLimits(t *testing.T) {
	r, s := joisted("floor")
	got := r.JoistLimits(s)
	if len(got) != len(caution.JoistRules) || len(got[0].Timbers) != 2 || got[0].Timbers[1].Name != "J2" {
		t.Fatalf("%+v", got)
	}
	for i, want := range [][6]float64{{48.75, 900, 1440, 24.375, 252, 900}, {48.75, 900, 1440, 29.25, 360, 720}} {
		l := got[i]
		for k, v := range []float64{l.MaxHole, l.HoleFrom, l.HoleTo, l.MaxNotch, l.NotchFrom, l.NotchTo} {
			if math.Abs(v-want[k]) > 1e-9 {
				t.Errorf("%s: figure %d is %v, want %v", l.Rule.Name, k, v, want[k])
			}
		}
	}
}

// Laws: a way that runs the other way crosses the same timbers at the same
// places, the last first; the place is where both lines are.
func TestWayLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		point := func(what string) roomsheet.Point {
			return roomsheet.Point{float64(rapid.IntRange(-200, 3800).Draw(t, what+" u")),
				float64(rapid.IntRange(0, 1400).Draw(t, what+" v"))}
		}
		w := room.Way{Name: "to D1", Kind: room.HoleWay, A: point("a"), B: point("b"), Size: 20}
		back := w
		back.A, back.B = w.B, w.A
		r, s := joisted("ceiling", w)
		there := r.Through(s)[0].Crossings
		r, s = joisted("ceiling", back)
		again := r.Through(s)[0].Crossings
		slices.Reverse(again)
		if len(there) != len(again) {
			t.Fatalf("%d crossings there, %d back", len(there), len(again))
		}
		for i, x := range there {
			v := x.Timber.A[1]
			u := w.A[0] + (v-w.A[1])/(w.B[1]-w.A[1])*(w.B[0]-w.A[0])
			if x.Timber.Name != again[i].Timber.Name || math.Abs(x.At-again[i].At) > 1e-6 ||
				math.Abs(x.At-math.Min(u, 3600-u)) > 1e-6 {
				t.Fatalf("%s at %v, back at %v of %s, want %v", x.Timber.Name, x.At, again[i].At, again[i].Timber.Name, u)
			}
		}
	})
}

// A way is recorded, is there to be read, and is taken out; the diary has both.
func TestAWayIsRecorded(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	of, surface := r.Record.ID, r.Record.Surfaces[0].ID
	w := room.Way{ID: id.New[id.Way](), Surface: surface, Name: "to D1", Kind: room.HoleWay, A: roomsheet.Point{900, 0},
		B: roomsheet.Point{900, 2000}, Size: 20, Height: 97.5}
	if _, err := s.Desk.Do(ctx, s.Electrician, of, deed.AddWay{Way: w}); err != nil {
		t.Fatal(err)
	}
	r, err := s.Desk.Read(ctx, s.Plumber, of)
	if err != nil || len(r.Record.Ways) != 1 || r.Record.Ways[0] != w {
		t.Fatalf("%+v, %v", r.Record.Ways, err)
	}
	again := w
	again.ID = id.New[id.Way]()
	_, err = s.Desk.Do(ctx, s.Electrician, of, deed.AddWay{Way: again})
	is(t, "the same name twice", err, fault.Conflict)
	for what, change := range map[string]func(*room.Way){
		"no name":            func(w *room.Way) { w.Name = " " },
		"no kind":            func(w *room.Way) { w.Kind = "slot" },
		"no size":            func(w *room.Way) { w.Size = 0 },
		"a size that is no":  func(w *room.Way) { w.Size = math.NaN() },
		"a notch's height":   func(w *room.Way) { w.Kind = room.NotchWay },
		"a negative height":  func(w *room.Way) { w.Height = -1 },
		"no length":          func(w *room.Way) { w.B = w.A },
		"off the sheet":      func(w *room.Way) { w.A[0] = math.Inf(1) },
		"far off the sheet":  func(w *room.Way) { w.B[1] = 100001 },
		"a name like a tale": func(w *room.Way) { w.Name = strings.Repeat("é", 61) },
	} {
		other := w
		other.ID = id.New[id.Way]()
		other.Name = "to D2"
		change(&other)
		_, err := s.Desk.Do(ctx, s.Electrician, of, deed.AddWay{Way: other})
		is(t, what, err, fault.BadInput)
	}
	elsewhere := again
	elsewhere.Surface = id.New[id.Surface]()
	_, err = s.Desk.Do(ctx, s.Electrician, of, deed.AddWay{Way: elsewhere})
	is(t, "a surface of nowhere", err, fault.NotFound)
	stranger := s.Found(t, "Marl & Sons")
	_, err = s.Desk.Do(ctx, stranger, of, deed.AddWay{Way: again})
	is(t, "another firm", err, fault.NotFound)
	_, err = s.Desk.Do(ctx, stranger, of, deed.RemoveWay{Way: w.ID})
	is(t, "another firm takes it out", err, fault.NotFound)
	if r, err = s.Desk.Do(ctx, s.Plumber, of, deed.RemoveWay{Way: w.ID}); err != nil || len(entries(t, s, r)) == 0 {
		t.Fatal(err)
	}
	_, err = s.Desk.Do(ctx, s.Plumber, of, deed.RemoveWay{Way: w.ID})
	is(t, "twice out", err, fault.NotFound)
	all := entries(t, s, r)
	got := []string{all[len(all)-2].Says, all[len(all)-1].Says}
	if want := []string{"The cable run to D1 was recorded on the ceiling: 20 mm hole.",
		"The cable run to D1 was removed."}; !slices.Equal(got, want) {
		t.Errorf("the diary says %q", got)
	}
}
