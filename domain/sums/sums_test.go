package sums_test

import (
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/room/roomtest"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/sums"
	"lathmark/domain/words"

	"github.com/google/uuid"
)

var rooms = []string{"kitchen", "landing", "sloping-ceiling", "socket-wall", "wet-room"}

var made = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

// work asks as a phone does, through JSON.
func work(t *testing.T, r *room.Record, acts ...sums.Act) *sums.Answer {
	t.Helper()
	asked, err := json.Marshal(sums.Asked{Room: *sums.Of(r), Acts: acts})
	if err != nil {
		t.Fatal(err)
	}
	said, err := sums.Work(asked)
	if err != nil {
		t.Fatal(err)
	}
	var out sums.Answer
	if err := json.Unmarshal(said, &out); err != nil {
		t.Fatal(err)
	}
	return &out
}

// act is an act of a kind at an address; fields are pairs, name and value.
func act(kind, at string, fields ...string) sums.Act {
	form := map[string][]string{}
	for i := 0; i < len(fields); i += 2 {
		form[fields[i]] = append(form[fields[i]], fields[i+1])
	}
	return sums.Act{ID: uuid.Must(uuid.NewV7()), Made: made, Kind: deed.Kind(kind), At: at, Form: form}
}

func datum(t *testing.T, r *room.Record, name string) string {
	t.Helper()
	for _, d := range r.Datums {
		if d.Name == name {
			return d.ID.String()
		}
	}
	t.Fatalf("no datum %s", name)
	return ""
}

func position(t *testing.T, r *room.Record, name string) string {
	t.Helper()
	for _, p := range r.Positions {
		if p.Name == name {
			return p.ID.String()
		}
	}
	t.Fatalf("no position %s", name)
	return ""
}

// place returns where a position is; false where it has no place.
func place(a *sums.Answer, name string) (*roomsheet.Place, bool) {
	for _, s := range a.SetOut.Surfaces {
		for _, p := range s.Positions {
			if p.ID == name {
				return p.Place, p.Place != nil
			}
		}
	}
	return nil, false
}

// Without an act the sums are the set-out of the room, to the last bit.
func TestWithoutAnActItIsTheSetOut(t *testing.T) {
	for _, name := range rooms {
		sheet := roomtest.Sheet(t, "../..", name)
		r := roomtest.Record(t, sheet)
		got := work(t, r)
		r.Sort() // as the server has it, where timbers stand by name
		var want roomsheet.Answer
		j, err := standing.Of(r, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		text, _ := json.Marshal(j.SetOut())
		if err := json.Unmarshal(text, &want); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got.SetOut, &want) {
			t.Errorf("%s: the sums differ from its set-out", name)
		}
	}
}

// Acts are taken in order, each on top of those before it, and the verdict is
// on the last. HD of the landing has one offset; a second one places it.
func TestActsInOrder(t *testing.T) {
	r := roomtest.Record(t, roomtest.Sheet(t, "../..", "landing"))
	hd, before := position(t, r, "HD"), len(r.Measurements)
	var from []string
	for _, d := range r.Datums {
		if d.Kind == words.Face {
			from = append(from, d.ID.String())
		}
	}
	a := act("measure", "/rooms/x/measure", "kind", "offset", "position", hd, "datum", from[0]+"|bare", "value", "700",
		"by", "laser")
	b := act("measure", "/rooms/x/measure", "kind", "offset", "position", hd, "datum", from[1]+"|bare", "value", "600",
		"by", "laser")
	if _, placed := place(work(t, r), "HD"); placed {
		t.Fatal("HD has a place before anything was done")
	}
	out := work(t, r, a, b)
	if out.Verdict == nil || !out.Verdict.Placed || out.Verdict.Position != "HD" || len(out.Wrong) > 0 {
		t.Fatalf("verdict %+v, wrong %v", out.Verdict, out.Wrong)
	}
	if _, placed := place(out, "HD"); !placed {
		t.Error("the set-out has no place for HD")
	}
	if len(r.Measurements) != before {
		t.Error("asking changed the room")
	}
	if again := work(t, r, a, b, a, b); !reflect.DeepEqual(again.SetOut, out.SetOut) {
		t.Error("the same acts twice gave another answer")
	}
}

// An act that the room does not take says what is to be mended, and leaves
// those around it alone.
func TestAnActThatIsNotTaken(t *testing.T) {
	r := roomtest.Record(t, roomtest.Sheet(t, "../..", "kitchen"))
	d1, west := position(t, r, "D1"), datum(t, r, "west")
	good := act("measure", "/rooms/x/measure", "kind", "offset", "position", d1, "datum", west+"|bare", "value", "600",
		"by", "tape")
	for name, bad := range map[string]struct {
		sums.Act
		field string
	}{
		"no figure": {act("measure", "/rooms/x/measure", "kind", "offset", "position", d1, "datum", west+"|bare", "value",
			"six"),
			"value"},
		"no such state": {act("measure", "/rooms/x/measure", "kind", "offset", "position", d1, "datum", west+"|tile", "value",
			"600"),
			"state"},
		"no such datum": {act("measure", "/rooms/x/measure", "kind", "offset", "position", d1, "datum",
			id.New[id.Datum]().String()+"|bare",
			"value", "600"), ""},
		"no reason":       {act("strike", "/rooms/x/readings/"+r.Measurements[0].ID.String()+"/strike"), "reason"},
		"the stage waits": {act("open-hole", "/rooms/x/positions/"+d1+"/outcome", "outcome", "found"), ""},
	} {
		out := work(t, r, good, bad.Act)
		if len(out.Wrong) == 0 || bad.field != "" && out.Wrong[0].Path != bad.field {
			t.Errorf("%s: wrong %+v", name, out.Wrong)
		}
		if !reflect.DeepEqual(out.SetOut, work(t, r, good).SetOut) {
			t.Errorf("%s: it left a trace", name)
		}
		if after := work(t, r, bad.Act, good); len(after.Wrong) > 0 || after.Verdict == nil {
			t.Errorf("%s: it stands in the way of the next", name)
		}
	}
}

// A reading that is put right, or struck out, counts as it then stands: the
// kitchen's m21 reads 50 too long.
func TestPuttingRightAndStriking(t *testing.T) {
	r := roomtest.Record(t, roomtest.Sheet(t, "../..", "kitchen"))
	var m21 *room.Measurement
	for i := range r.Measurements {
		if r.Measurements[i].Name == "m21" {
			m21 = &r.Measurements[i]
		}
	}
	at := "/rooms/x/readings/" + m21.ID.String()
	mended := act("correct", at, "datum", datum(t, r, "west")+"|bare", "value", "1795", "by", "tape")
	struck := act("strike", at+"/strike", "reason", "the tape slipped")
	was, _ := place(work(t, r), "D6")
	right, _ := place(work(t, r, mended), "D6")
	out, _ := place(work(t, r, struck), "D6")
	if math.Abs(right.U-out.U) > 3 || math.Abs(was.U-right.U) < 5 {
		t.Errorf("D6 is at %.1f as it was, %.1f put right, %.1f struck out", was.U, right.U, out.U)
	}
}

// What was put on, and where a tail was found, correct the holes still to come.
func TestLayersAndTailsTeach(t *testing.T) {
	r := roomtest.Record(t, roomtest.Sheet(t, "../..", "kitchen"))
	// of the layers nothing is known yet
	r.Measurements = slices.DeleteFunc(r.Measurements, func(m room.Measurement) bool {
		return m.Kind == words.Span || m.Kind == words.Thickness
	})
	south := datum(t, r, "south")
	var skim room.Layer
	for _, l := range r.Layers {
		if l.Datum.String() == south && l.Name == "skim" {
			skim = l
		}
	}
	for _, s := range []words.Stage{words.FirstFix, words.Boarding} {
		r.Gates[s].State = words.SignedOff
	}
	r.Gates[words.Plaster].State = words.InHand
	was, _ := place(work(t, r), "D2")
	thick, _ := place(work(t, r, act("put-on", "/rooms/x/as-built", "t."+skim.ID.String(), "9")), "D2")
	if was.SetOut[0].Value-thick.SetOut[0].Value < 3 {
		t.Errorf("with 9 mm of skim instead of 3 D2 is marked at %.1f from south, before at %.1f", thick.SetOut[0].Value,
			was.SetOut[0].Value)
	}
	r.Gates[words.Plaster].State, r.Gates[words.SecondFix].State = words.SignedOff, words.InHand
	d1 := position(t, r, "D1")
	seen, _ := place(work(t, r), "D1")
	found := work(t, r, act("open-hole", "/rooms/x/positions/"+d1+"/outcome", "outcome", "found",
		"off_a", "560", "from_a", south, "side_a", "+"))
	if found.Verdict == nil || found.Verdict.Position != "D1" {
		t.Fatalf("verdict %+v, wrong %v", found.Verdict, found.Wrong)
	}
	after, _ := place(found, "D2")
	if seen.SetOut[0].Value-560 < 5 || was.SetOut[0].Value-after.SetOut[0].Value < 0.5 {
		t.Errorf("D1 found at 560 instead of %.1f moves D2 from %.1f to %.1f", seen.SetOut[0].Value, was.SetOut[0].Value,
			after.SetOut[0].Value)
	}
	for _, h := range found.Holes {
		if h.Position == d1 {
			t.Error("D1 is still to be opened")
		}
	}
	if len(found.Holes) == 0 || len(found.Holes[0].Marks) != 2 {
		t.Errorf("holes: %+v", found.Holes)
	}
}

// What is no room of this make is refused as a whole.
func TestARoomOfAnotherMake(t *testing.T) {
	for _, asked := range []string{"", "{", `{"room":{"format":"lathmark-sums/0","record":{}}}`,
		`{"room":{"format":"lathmark-sums/1"}}`} {
		if _, err := sums.Work([]byte(asked)); fault.KindOf(err) != fault.BadInput {
			t.Errorf("%q: %v", asked, err)
		}
	}
}
