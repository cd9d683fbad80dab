package gate

import (
	"slices"
	"testing"
	"time"
)

func TestNextForEachInEachStage(t *testing.T) {
	bare := at(FirstFix, InHand)
	bare.Positions, bare.Measurements = nil, nil
	three := at(FirstFix, InHand)
	three.Measurements = nil
	for i := range three.Positions {
		three.Positions[i].Determinate, three.Positions[i].Kind = false, "downlight"
	}
	soft := at(FirstFix, Offered)
	soft.Positions[0].Checked = false
	unplanned := at(FirstFix, InHand)
	unplanned.Datums[1].StaysBare = false
	seen := at(Boarding, InHand)
	for i := range seen.Positions {
		seen.Positions[i].SeenFree = day(9)
	}
	boarded := at(Boarding, Offered)
	boarded.Datums[0].Layers[0].AsBuilt = true
	for i := range boarded.Positions {
		boarded.Positions[i].SeenFree = day(9)
	}
	fan := at(SecondFix, InHand)
	fan.Positions[1].Held, fan.Positions[1].HeldWhy = true, "fan of unknown size"
	patch := at(Decoration, InHand)
	patch.Openings[0].Patch = &Patch{}

	for _, c := range []struct {
		name string
		r    *Record
		t    Trade
		want string
	}{
		{"empty room", bare, Foreman, "Nothing is on the schedule yet. Put the first position on the schedule."},
		{"empty room", bare, Electrician, "Nothing for you here."},
		{"three open", three, Electrician, "3 tails have no record. Measure D1 next."},
		{"three open", three, Foreman, "Nothing for you here until the electrician has been."},
		{"three open", three, DryLiner, "Nothing for you here until first fix is done."},
		{"three open", three, Client, "Nothing waits for your decision. First fix is next."},
		{"unplanned", unplanned, Foreman,
			"The west wall is measured from and nobody has said what goes on it. Plan its build-up, or say that it stays bare."},
		{"unplanned", unplanned, Electrician, "Nothing for you here until the foreman has been."},
		{"measured", at(FirstFix, InHand), Electrician, "Nothing stands in its way. Offer first fix when it is done."},
		{"offered", at(FirstFix, Offered), Electrician, "Nothing for you here until the foreman has signed off first fix."},
		{"offered", at(FirstFix, Offered), Foreman,
			"First fix is offered and nothing stands in its way. Sign off first fix."},
		{"offered, soft", soft, Foreman, "First fix is offered, 1 thing needs your reason. Sign off first fix."},
		{"boarding", at(Boarding, InHand), Electrician, "2 tails are not seen free. Look at D1 next."},
		{"boarding", at(Boarding, InHand), Plumber,
			"Nobody has seen the tail of W3 free. Go and see that it hangs free of timber and insulation, before the boards."},
		{"boarding", at(Boarding, InHand), Plasterer, "Nothing for you here until the boards are up."},
		{"boarding", seen, Electrician, "Nothing for you here until the plaster is on."},
		{"boarding", seen, DryLiner, "The board on the south wall is not recorded as put on. Measure its thickness, or a " +
			"span across the room."},
		{"boarded", boarded, DryLiner, "Nothing for you here until the foreman has signed off boarding."},
		{"boarding", seen, Tiler, "Nothing for you here."},
		{"second fix", fan, Plumber, "W3 is not opened. Open it and write down its outcome, or have the client give it up."},
		{"second fix", fan, Electrician,
			"No hole has proved the set-out yet. Open D1 first and write down where its tail was before you open the rest."},
		{"second fix", fan, Client, "D2 is held until you decide: fan of unknown size. Decide about D2."},
		{"second fix", fan, Foreman, "D2 is held: fan of unknown size. Have it decided, then release it or have the " +
			"client give it up."},
		{"second fix", fan, Decorator, "Nothing for you here until the holes are open."},
		{"decoration", patch, Decorator, "The patch at D1 is not filled. Fill it."},
		{"decoration", patch, Electrician, "Nothing for you here."},
		{"finished", done(), Decorator, "Nothing more for you here: the room is finished."},
		{"finished", done(), Client, "This room is finished."},
	} {
		got := NextFor(c.r, c.t, today)
		if got.Sentence != c.want {
			t.Errorf("%s, %s:\ngot  %s\nwant %s", c.name, c.t, got.Sentence, c.want)
		}
		if (got.Task == nil) != (len(Tasks(c.r, c.t, today)) == 0) {
			t.Errorf("%s, %s: task %+v", c.name, c.t, got.Task)
		}
	}
}

func TestWhoIsNext(t *testing.T) {
	tails := at(Boarding, InHand)
	held := at(SecondFix, InHand)
	held.Openings, held.FirstProved = done().Openings, day(31)
	held.Positions[1].Held = true
	for _, c := range []struct {
		r    *Record
		want Trade
	}{
		{at(FirstFix, InHand), Electrician}, {at(FirstFix, Offered), Foreman}, {tails, Electrician},
		{at(Plaster, InHand), Plasterer}, {held, Client}, {at(Decoration, InHand), Decorator}, {done(), ""},
		{&Record{Gates: NewGates()}, Foreman},
	} {
		if got := WhoNext(c.r, today); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// Whoever's turn it is has a task, in every state of every stage: a room never
// stands still with nobody to move it.
func TestWhoeverIsNextHasATask(t *testing.T) {
	for _, s := range Stages {
		for _, is := range []State{InHand, Offered} {
			rooms := []*Record{at(s, is), {Room: "Hall", Gates: gatesAt(s, is)}}
			for _, c := range ruleCases {
				r := done()
				c.breaks(r)
				r.Gates = gatesAt(s, is)
				rooms = append(rooms, r)
			}
			for _, r := range rooms {
				who := WhoNext(r, today)
				if len(Tasks(r, who, today)) == 0 {
					t.Errorf("%s %s: %s is next and has no task; obstacles %+v", s, is, who, Obstacles(r, s, today))
				}
			}
		}
	}
}

func TestReady(t *testing.T) {
	r := at(Boarding, InHand)
	if _, _, ok := Ready(r, DryLiner, today); ok {
		t.Error("ready with tails not seen")
	}
	for i := range r.Positions {
		r.Positions[i].SeenFree = day(8 + i)
	}
	if s, since, ok := Ready(r, DryLiner, today); !ok || s != Boarding || !since.Equal(day(10)) {
		t.Errorf("%v %v %v, want ready since the last tail was seen", s, since, ok)
	}
	if _, _, ok := Ready(r, Plasterer, today); ok {
		t.Error("plasterer ready before the boards")
	}
	r = at(Plaster, InHand)
	if s, since, ok := Ready(r, Plasterer, today); !ok || s != Plaster || !since.Equal(day(17)) {
		t.Errorf("%v %v %v, want ready since boarding was signed off", s, since, ok)
	}
	r = at(SecondFix, InHand)
	r.EarliestDry = day(61)
	if _, _, ok := Ready(r, Electrician, today); ok {
		t.Error("electrician ready before the plaster is dry")
	}
	if _, since, ok := Ready(r, Electrician, day(62)); !ok || !since.Equal(day(61)) {
		t.Errorf("%v %v", since, ok)
	}
	if _, _, ok := Ready(at(Plaster, Offered), Plasterer, today); ok {
		t.Error("ready for a stage that is offered already")
	}
}

func TestTilerComesWhereTilesArePlanned(t *testing.T) {
	r := at(Plaster, InHand)
	r.Datums[0].Layers = append(r.Datums[0].Layers, Layer{ID: "t", Name: "Tile", Stage: Plaster})
	tasks := Tasks(r, Tiler, today)
	if len(tasks) != 1 || tasks[0].Code != "not_as_built" || tasks[0].Where != "ceiling, Utility" {
		t.Errorf("%+v", tasks)
	}
	if got := Lead(r, Plaster); !slices.Equal(got, []Trade{Plasterer, Tiler}) {
		t.Errorf("%v", got)
	}
	r.Datums[0].Layers[2].Stage = Decoration
	if got := Lead(r, Decoration); !slices.Equal(got, []Trade{Decorator, Tiler}) {
		t.Errorf("%v", got)
	}
}

// The client's list has held positions from the first day, and nothing else.
func TestClientSeesDecisionsOnly(t *testing.T) {
	r := at(FirstFix, InHand)
	r.Positions[0].Determinate = false
	r.Positions[2].Held = true
	tasks := Tasks(r, Client, today)
	if len(tasks) != 1 || tasks[0].About.ID != "W3" || tasks[0].Code != TaskDecide {
		t.Errorf("%+v", tasks)
	}
}

func TestWords(t *testing.T) {
	for p, want := range map[float64]string{0.5: "more likely than not", 0.4: "about 1 in 3", 0.034: "about 1 in 30",
		0.105: "about 1 in 10", 0.0104: "about 1 in 100", 0.004: "about 1 in 300", 0.001: "about 1 in 1,000",
		0.0001: "less than 1 in 1,000"} {
		if got := Odds(p); got != want {
			t.Errorf("Odds(%v) = %s, want %s", p, got, want)
		}
	}
	for name, want := range map[string]string{"Utility": "the utility", "Bedroom 2": "Bedroom 2", "WC": "the WC",
		"Anna's room": "Anna's room", "Öl": "the öl", "The stack": "the stack", "Living room": "the living room"} {
		if got := InWords(name); got != want {
			t.Errorf("InWords(%s) = %s, want %s", name, got, want)
		}
	}
	if got := Day(time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)); got != "Wednesday 25 November" {
		t.Error(got)
	}
}

func TestStagesAndStatesReadBack(t *testing.T) {
	for _, s := range Stages {
		for _, text := range []string{s.String(), s.Code()} {
			if got, err := ParseStage(text); err != nil || got != s {
				t.Errorf("%q: %v, %v", text, got, err)
			}
		}
	}
	for _, s := range []State{Waiting, InHand, Offered, SignedOff} {
		for _, text := range []string{s.String(), s.Code()} {
			if got, err := ParseState(text); err != nil || got != s {
				t.Errorf("%q: %v, %v", text, got, err)
			}
		}
	}
	if _, err := ParseStage("third fix"); err == nil {
		t.Error("third fix is a stage")
	}
	if before, ok := FirstFix.Before(); ok {
		t.Errorf("first fix comes after %s", before)
	}
	if got := SecondFix.After(); !slices.Equal(got, []Stage{Decoration}) {
		t.Errorf("after second fix: %v", got)
	}
}
