package visits

import (
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/room/roomtest"
	"lathmark/domain/standing"
)

// Of a room that nobody has measured every position is read from two walls that cross,
// then each is checked from two others: everything has a place before anything is checked.
func TestWhatIsToDoGoesRoundTheWalls(t *testing.T) {
	v, _ := looked(t, foreman())
	r := roomtest.Record(t, roomtest.Sheet(t, "../../..", "wet-room"))
	r.Measurements = nil
	j, err := standing.Of(r, noon)
	if err != nil {
		t.Fatal(err)
	}
	s := look(v, j, "Measure")
	read, rounds := map[id.Position][]id.Datum{}, []int{}
	for _, step := range s.toDo() {
		from := s.from(step)
		d, err := r.Datum(from)
		if err != nil {
			t.Fatal(err)
		}
		has := read[step.Of]
		for _, earlier := range has {
			if earlier == from {
				t.Errorf("%s is read from %s twice", step.Of, d.Name)
			}
		}
		if step.Round == 0 && len(has) == 1 {
			if first, err := r.Datum(has[0]); err != nil || !crosses(first, d) {
				t.Errorf("%s is read from %s and %s, which do not cross (%v)", step.Of, first.Name, d.Name, err)
			}
		}
		read[step.Of], rounds = append(has, from), append(rounds, step.Round)
	}
	for i := 1; i < len(rounds); i++ {
		if rounds[i] < rounds[i-1] {
			t.Errorf("step %d gives a place after another was checked", i+1)
		}
	}
	if len(read) == 0 {
		t.Fatal("nothing is to do in a room that nobody has measured")
	}
	for of, from := range read {
		if len(from) != checked {
			t.Errorf("%s is read %d times", of, len(from))
		}
	}
	after := s.next(s.toDo(), &room.Measurement{Of: s.toDo()[0].Of})
	if after != s.toDo()[0] {
		t.Errorf("after a reading of the first position comes %+v", after)
	}
}
