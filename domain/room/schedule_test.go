package room

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lathmark/domain/fault"
	"lathmark/domain/roomsheet"
)

func TestPastedLines(t *testing.T) {
	got, err := ParseSchedule("D1, downlight, 76, 600, 450\n\n P1\tpendant \r\nS1; switch drop; 35 mm\nF1\n")
	if err != nil {
		t.Fatal(err)
	}
	want := []PositionDraft{
		{Name: "D1", Kind: "downlight", Cutout: 76, Planned: &roomsheet.Point{600, 450}},
		{Name: "P1", Kind: "pendant"},
		{Name: "S1", Kind: "switch drop", Cutout: 35},
		{Name: "F1"},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// Every line that cannot be read is named, not the first only.
func TestPastedLinesThatCannotBeRead(t *testing.T) {
	_, err := ParseSchedule("D1, downlight, wide\nD2, downlight, 76\n,fan\nD3, downlight, 76, 1\nD4, fan, 1, 2, 3, 4")
	var f *fault.Error
	if !errors.As(err, &f) || f.Kind != fault.BadInput {
		t.Fatal(err)
	}
	var paths []string
	for _, field := range f.Fields {
		paths = append(paths, field.Path)
	}
	if d := cmp.Diff([]string{"line 1", "line 4", "line 5"}, paths); d != "" {
		t.Errorf("%s\n%v", d, f)
	}
}

// Common practice, no source: lamps stand half a space from the walls, a whole
// one from each other.
func TestHalfASpaceToTheWalls(t *testing.T) {
	got, err := Spaced(Rectangle(3600, 2400), Grid{Rows: 2, Columns: 3, Prefix: "D", From: 4, Kind: "downlight",
		Cutout: 76})
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 6 || got[0].Name != "D4" || *got[0].Planned != (roomsheet.Point{600, 600}) || got[5].Name != "D9" ||
		*got[5].Planned != (roomsheet.Point{3000, 1800}) {
		t.Errorf("%+v", got)
	}
	l := []roomsheet.Point{{0, 0}, {4000, 0}, {4000, 2000}, {2000, 2000}, {2000, 4000}, {0, 4000}}
	if got, err = Spaced(l, Grid{Rows: 2, Columns: 2}); err != nil || len(got) != 3 {
		t.Errorf("an L of three quarters has %d of four lamps (%v)", len(got), err)
	}
	if _, err := Spaced(l, Grid{Rows: 0, Columns: 2}); fault.KindOf(err) != fault.BadInput {
		t.Error(err)
	}
}

// Laws: a position that is moved off the timbers is clear of every one of
// them; one that was clear stays; none moves farther than half a bay.
func TestOffTimbersClears(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spacing := rapid.Float64Range(300, 600).Draw(t, "spacing")
		joists, err := Joists(Rectangle(4000, 3000), rapid.Bool().Draw(t, "along u"), rapid.Float64Range(0, 400).Draw(t,
			"first"), spacing, 47, 195)
		if err != nil {
			t.Fatal(err)
		}
		p := roomsheet.Point{rapid.Float64Range(0, 4000).Draw(t, "u"), rapid.Float64Range(0, 3000).Draw(t, "v")}
		d := PositionDraft{Name: "D1", Cutout: rapid.Float64Range(0, 300).Draw(t, "cutout"), Planned: &p}
		moved, stuck := OffTimbers([]PositionDraft{d}, joists)
		q := *moved[0].Planned
		need := d.Cutout/2 + clearance
		switch free := gap(q, joists); {
		case len(stuck) > 0 && q != p:
			t.Errorf("stuck, and yet it moved from %v to %v", p, q)
		case len(stuck) > 0 && 2*need <= spacing-47-1:
			t.Errorf("%v is stuck in a bay that has room for it", p)
		case len(stuck) == 0 && free < need-0.01:
			t.Errorf("%v keeps %.1f mm, it needs %.1f", q, free, need)
		case gap(p, joists) >= need && q != p:
			t.Errorf("%v was clear and moved to %v", p, q)
		}
		if d := max(abs(q[0]-p[0]), abs(q[1]-p[1])); d > halfBay {
			t.Errorf("it moved %.0f mm", d)
		}
	})
}

func abs(x float64) float64 { return max(x, -x) }

func TestJoists(t *testing.T) {
	got, err := Joists(Rectangle(3000, 2400), false, 200, 400, 47, 195)
	if err != nil || len(got) != 7 || got[0].A != (roomsheet.Point{200, 0}) || got[0].B != (roomsheet.Point{200, 2400}) ||
		got[6].Name != "J7" {
		t.Errorf("%+v, %v", got, err)
	}
	if _, err := Joists(Rectangle(3000, 2400), false, 200, 40, 47, 195); fault.KindOf(err) != fault.BadInput {
		t.Errorf("joists nearer than they are wide: %v", err)
	}
}
