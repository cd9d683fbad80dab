package server_test

import (
	"net/http"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"
)

// doubted is a room at second fix in which a reading of the position does not fit.
func doubted(t *testing.T, w *world) (*shell, string) {
	t.Helper()
	s := atSecondFix(t, w)
	j := w.read(t, s.ids["room"])
	q := j.Record.Positions[0]
	for _, m := range j.Record.Measurements {
		if m.Of != q.ID || m.Kind != words.Offset {
			continue
		}
		for _, off := range []float64{1, 90} { // one that fits, and one misread
			var err error
			if j, err = w.Desk.Do(t.Context(), w.Electrician, j.Record.ID, deed.Measure{Reading: room.Reading{
				Kind: words.Offset, Of: q.ID, From: m.From, State: "bare", Value: m.Value + off, By: "tape"}}); err != nil {
				t.Fatal(err)
			}
		}
		break
	}
	if j.Hole(q.ID).Doubt == "" {
		t.Fatal("nothing is in doubt")
	}
	return &shell{w, t, j, web.Place{Room: s.ids["room"]}}, s.path(t, "/rooms/:room/positions/:position/outcome")
}

// A hole whose record is in doubt is recorded as cut only by somebody who says that they know it: on the page, and from
// a phone that had the same page. A page from before the question was asked is taken.
func TestAHoleInDoubtIsAskedAbout(t *testing.T) {
	w := newWorld(t)
	s, hole := doubted(t, w)
	spark := w.as(t, w.Electrician)
	has(t, spark.get(hole), `name="doubt_asked"`, "I know that its record is in doubt")
	has(t, spark.refused(http.StatusBadRequest, hole, "outcome", "found", "doubt_asked", "yes"), "is in doubt",
		"Say that you know that its record is in doubt")
	act := s.act("open-hole", hole, "outcome", "found", "doubt_asked", "yes")
	_, got := s.send(w.Electrician, w.Electrician, act)
	if len(got) != 1 || got[0].Answer != string(deed.Refused) || len(got[0].Fields) != 1 ||
		got[0].Fields[0].Path != "doubt" {
		t.Errorf("the phone is told %+v", got)
	}
	if n := len(w.read(t, s.room.Room).Record.Openings); n != 0 {
		t.Fatalf("%d holes are recorded though nobody said that they knew", n)
	}
	known := s.act("open-hole", hole, "outcome", "found", "doubt_asked", "yes", "doubt", "known")
	if _, got = s.send(w.Electrician, w.Electrician, known); len(got) != 1 || got[0].Answer != string(deed.Kept) {
		t.Errorf("the phone is told %+v", got)
	}
	if n := len(w.read(t, s.room.Room).Record.Openings); n != 1 {
		t.Errorf("%d holes are recorded", n)
	}
}
