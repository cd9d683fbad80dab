package setoutsheet

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lathmark/domain/advice"
	"lathmark/domain/roomsheet"
)

var rooms = []string{"kitchen", "wet-room", "sloping-ceiling", "landing", "socket-wall"}

// site reads one of the rooms of the invented site.
func site(t *testing.T, name string) *roomsheet.Room {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "rooms", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	room, err := roomsheet.Read(f)
	if err != nil {
		t.Fatal(err)
	}
	return room
}

func printed(t *testing.T, room *roomsheet.Room) string {
	t.Helper()
	if err := roomsheet.Check(room); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := Print(&b, room, room.Solve()); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The sheets of the five rooms; read them as somebody up a ladder would.
// UPDATE_GOLDEN=1 writes them.
func TestSheetsGolden(t *testing.T) {
	for _, name := range rooms {
		got, file := printed(t, site(t, name)), filepath.Join("testdata", name+".txt")
		if os.Getenv("UPDATE_GOLDEN") != "" {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(string(want), got); d != "" {
			t.Errorf("%s: -want +got\n%s", name, d)
		}
	}
}

// No line is wider than a phone, whatever things are called.
func TestNoLineIsTooWide(t *testing.T) {
	for _, name := range rooms {
		for _, long := range []string{"", strings.Repeat("ö", 45), "the wall behind the boiler as you come in"} {
			room := site(t, name)
			rename(room, func(id string) string { return id + long })
			for _, l := range strings.Split(printed(t, room), "\n") {
				if width(l) > columns || strings.TrimRight(l, " ") != l {
					t.Errorf("%s: %q", name, l)
				}
			}
		}
	}
}

// rename changes the id of everything but layers.
func rename(room *roomsheet.Room, to func(string) string) {
	each := func(id *string) {
		if *id != "" {
			*id = to(*id)
		}
	}
	for i := range room.Surfaces {
		s := &room.Surfaces[i]
		each(&s.ID)
		for k := range s.Datums {
			each(&s.Datums[k].ID)
		}
		for k := range s.Timbers {
			each(&s.Timbers[k].ID)
		}
		for k := range s.Positions {
			each(&s.Positions[k].ID)
		}
		for k := range s.Measurements {
			m := &s.Measurements[k]
			each(&m.ID)
			each(&m.Of)
			each(&m.From)
			each(&m.To)
		}
	}
}

// Every figure to mark from is the answer's own, to the millimetre, and the two
// offsets of a hole lead to where it is to be opened.
func TestMarksAreTheAnswers(t *testing.T) {
	for _, name := range rooms {
		r := site(t, name)
		solved := r.Solve()
		for _, v := range newViews(advice.OfSheet(r, solved), solved) {
			for i := range v.Answer.Positions {
				a := &v.Answer.Positions[i]
				if a.Mark == nil {
					continue
				}
				for n, k := range a.Mark.From {
					want := a.SetOut[k].Value + advice.Dot(advice.Normal(&v.Geometry.Datums[k]), a.Plan.Move)
					if math.Abs(a.Plan.Offsets[n]-want) > 1e-6 || v.holes[i].Marks[n].Value != math.Abs(a.Plan.Offsets[n]) {
						t.Errorf("%s %s: marked at %v, %+v, want %v", name, v.holes[i].Name, a.Plan.Offsets[n], v.holes[i].Marks[n], want)
					}
				}
				if k, far := v.neighbour(i); k >= 0 {
					if back := math.Hypot(v.Hole(i).U-v.Hole(k).U, v.Hole(i).V-v.Hole(k).V); back != far {
						t.Errorf("%s: %v apart, said %v", name, back, far)
					}
				}
			}
		}
	}
}

// Warnings come before the first surface, in the order in which they have to be
// dealt with, followed by the cautions.
func TestWarningsComeFirst(t *testing.T) {
	got := printed(t, site(t, "kitchen"))
	last := -1
	for _, part := range []string{"SETTING-OUT SHEET: Kitchen", "READ FIRST", "! m28 (D7 from north)",
		"! m21 (D6 from west) does not fit", "! m36 (D9 from south)", "D12 is not checked", "D6: Not sure until m21",
		"BEFORE ANY HOLE", "for an engineer", "prove it dead", "Local codes", "registered gas engineer", "can hold asbestos",
		"CEILING, skimmed", "first: it proves the set-out", "D1 downlight", "LINES TO SNAP"} {
		flat := strings.Join(strings.Fields(got), " ")
		at := strings.Index(flat, part)
		if at <= last {
			t.Errorf("%q stands at %d, after something at %d", part, at, last)
		}
		last = at
	}
}

// The same room is printed in the same bytes.
func TestPrintTwiceIsSame(t *testing.T) {
	for _, name := range rooms {
		if a, b := printed(t, site(t, name)), printed(t, site(t, name)); a != b {
			t.Errorf("%s differs", name)
		}
	}
}
