package verdict_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/room/roomtest"
	"lathmark/domain/standing"
	"lathmark/domain/verdict"
	"lathmark/domain/words"
)

var update = flag.Bool("update", false, "write the golden file anew")

var now = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

// utility is a room of 3600 by 2400 with a steel, one downlight that has no
// reading yet and one that has two. Its west wall gets 62.5 mm, on dabs.
const utility = `{"format": "lathmark-room/1", "room": "Utility", "surfaces": [{
	"id": "ceiling", "kind": "ceiling",
	"datums": [
		{"id": "south", "kind": "face", "line": [[0,0],[3600,0]]},
		{"id": "east", "kind": "face", "line": [[3600,0],[3600,2400]]},
		{"id": "north", "kind": "face", "line": [[3600,2400],[0,2400]]},
		{"id": "west", "kind": "face", "line": [[0,2400],[0,0]], "layers": [{"id": "board", "thickness": 62.5,
			"sigma": 3, "stage": "boarding"}, {"id": "skim", "thickness": 3, "sigma": 1, "stage": "plaster"}]},
		{"id": "steel", "kind": "line", "line": [[0,1500],[3600,1500]]},
		{"id": "stack", "kind": "point", "point": [3300,2100]}],
	"positions": [{"id": "D1", "kind": "downlight", "cutout": 76}, {"id": "D2", "kind": "downlight", "cutout": 76}],
	"measurements": [
		{"id": "m1", "kind": "offset", "of": "D2", "from": "south", "value": 628},
		{"id": "m2", "kind": "offset", "of": "D2", "from": "east", "value": 900}]}]}`

// bareUtility is the same before the first reading.
var bareUtility = utility[:strings.Index(utility, `"measurements"`)] + `"measurements": []}]}`

// site is a room being measured.
type site struct {
	*testing.T
	r *room.Record
}

func at(t *testing.T, text string) site { return site{t, roomtest.Record(t, roomtest.Read(t, text))} }

// datum and position find by name.
func (s site) datum(name string) id.Datum {
	for _, d := range s.r.Datums {
		if d.Name == name {
			return d.ID
		}
	}
	return id.Datum{}
}

func (s site) position(name string) id.Position {
	for _, p := range s.r.Positions {
		if p.Name == name {
			return p.ID
		}
	}
	return id.Position{}
}

// take takes a reading and returns the verdict on it.
func (s site) take(g room.Reading) *verdict.Verdict {
	s.Helper()
	g.ID = id.OrNew(g.ID)
	if err := deed.On(s.Context(), s.r, now, deed.Measure{Reading: g}); err != nil {
		s.Fatal(err)
	}
	m, err := s.r.Measurement(g.ID)
	if err != nil {
		s.Fatal(err)
	}
	j, err := standing.Of(s.r, now)
	if err != nil {
		s.Fatal(err)
	}
	return verdict.Of(j, m)
}

// offset is a reading of a position from a datum in a state.
func (s site) offset(of, from, state string, value float64) room.Reading {
	return room.Reading{Kind: words.Offset, Of: s.position(of), From: s.datum(from), State: state, Value: value}
}

// A visit, reading by reading, as a person sees it.
func TestWords(t *testing.T) {
	s := at(t, utility)
	var b bytes.Buffer
	for _, g := range []room.Reading{
		s.offset("D1", "west", "bare", 1112),
		s.offset("D1", "west", "", 1112),
		s.offset("D1", "south", "", 628),
		s.offset("D1", "steel", "", -872),
		s.offset("D1", "east", "", 2488),
		s.offset("D1", "west", "bare", 900),
		s.offset("D1", "west", "bare", 1113),
		s.offset("D1", "west", "bare", 1050),
		s.offset("D1", "stack", "", 2638),
		{Kind: words.Distance, Of: s.position("D1"), ToPosition: s.position("D2"), Value: 1588},
		{Kind: words.Distance, Of: s.position("D1"), ToPosition: s.position("D2"), Value: 1700},
		{Kind: words.Distance, Of: s.position("D1"), ToPosition: s.position("D2"), Value: 5200},
		{Kind: words.Span, From: s.datum("south"), To: s.datum("north"), Value: 2400},
		{Kind: words.Span, From: s.datum("south"), To: s.datum("north"), Value: 2310},
		{Kind: words.Span, From: s.datum("south"), To: s.datum("north"), Value: 4200},
		{Kind: words.Thickness, From: s.datum("west"), State: "board", Value: 61, By: "rule"},
		{Kind: words.Thickness, From: s.datum("west"), State: "board", Value: 16, By: "rule"},
		s.offset("D2", "west", "bare", 5100),
		s.offset("D2", "steel", "", 1200),
	} {
		show(&b, s.take(g))
	}
	const golden = "testdata/visit.txt"
	if *update {
		if err := os.WriteFile(golden, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("%s is no longer what people read:\n%s", golden, b.String())
	}
}

func show(b *bytes.Buffer, v *verdict.Verdict) {
	fmt.Fprintf(b, "%s: %s\n", v.Position, v.Reading)
	for _, m := range v.From {
		fmt.Fprintf(b, "  %.1f %s\n", m.Value, m.Says)
	}
	if v.Placed {
		fmt.Fprintf(b, "  ± %.1f, checked %v\n", v.PlusMinus, v.Checked)
	}
	for _, line := range []struct{ key, says string }{{"owed", v.Owed}, {"asked", v.Question}, {"doubt", v.Doubt}} {
		if line.says != "" {
			fmt.Fprintf(b, "  %s: %s\n", line.key, line.says)
		}
	}
}

// The sentence that the whole is for: 900 from the west wall, where the others
// put the position at 1112.
func TestASlipIsAskedAboutAtOnce(t *testing.T) {
	s := at(t, utility)
	s.take(s.offset("D1", "south", "", 628))
	s.take(s.offset("D1", "east", "", 2488))
	v := s.take(s.offset("D1", "west", "bare", 900))
	if want := "900 from the west wall would be 212 mm from where the other two put it."; v.Question != want {
		t.Errorf("asked %q, want %q", v.Question, want)
	}
	if !v.Placed {
		t.Error("the reading was refused")
	}
}

// A reading from the bare wall that was noted as boarded is 62.5 mm out, and
// the state that it fits is named.
func TestAWrongStateIsAskedAboutAtOnce(t *testing.T) {
	s := at(t, utility)
	s.take(s.offset("D1", "south", "", 628))
	s.take(s.offset("D1", "east", "", 2488))
	s.take(s.offset("D1", "west", "bare", 1112))
	v := s.take(s.offset("D1", "west", "board", 1112))
	if !strings.HasSuffix(v.Question, "where the other three put it; the state could be bare instead of boarded.") {
		t.Errorf("asked %q", v.Question)
	}
}

// With one earlier reading nothing can be said, however odd the value is, as
// long as it is inside the room.
func TestNothingIsAskedWhereNothingIsKnown(t *testing.T) {
	s := at(t, utility)
	for _, g := range []room.Reading{s.offset("D1", "west", "bare", 3500), s.offset("D1", "south", "", 2390)} {
		if v := s.take(g); v.Question != "" {
			t.Errorf("asked %q", v.Question)
		}
	}
}
