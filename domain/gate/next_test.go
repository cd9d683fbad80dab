package gate

import (
	"slices"
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

func TestNextForEachInEachStage(t *testing.T) {
	bare := at(words.FirstFix, words.InHand)
	bare.Positions, bare.Measurements = nil, nil
	three := at(words.FirstFix, words.InHand)
	three.Measurements = nil
	for i := range three.Positions {
		three.says(i).Determinate, three.Positions[i].Kind = false, "downlight"
	}
	soft := at(words.FirstFix, words.Offered)
	soft.says(0).Checked = false
	unplanned := at(words.FirstFix, words.InHand)
	unplanned.Datums[1].StaysBare = false
	seen := at(words.Boarding, words.InHand)
	seen.seen(9, 0)
	boarded := at(words.Boarding, words.Offered)
	boarded.Record.Built = []room.AsBuilt{{Layer: boarded.Layers[0].ID}}
	boarded.Measurements = append(boarded.Measurements, thickness("board", "", 27))
	boarded.seen(9, 0)
	fan := at(words.SecondFix, words.InHand)
	fan.Positions[1].Held, fan.Positions[1].HeldWhy = true, "fan of unknown size"
	patch := at(words.Decoration, words.InHand)
	patch.patch(0, time.Time{}, time.Time{})

	for _, c := range []struct {
		name string
		r    *sample
		t    words.Trade
		want string
	}{
		{"empty room", bare, words.Foreman, "Nothing is on the schedule yet. Put the first position on the schedule."},
		{"empty room", bare, words.Electrician, "Nothing for you here."},
		{"three open", three, words.Electrician, "3 tails have no record. Measure D1 next."},
		{"three open", three, words.Foreman, "Nothing for you here until the electrician has been."},
		{"three open", three, words.DryLiner, "Nothing for you here until first fix is done."},
		{"three open", three, words.Client, "Nothing waits for your decision. First fix is next."},
		{"unplanned", unplanned, words.Foreman,
			"The west wall is measured from, but its build-up has not been planned. Plan its build-up, or say that it " +
				"stays bare."},
		{"unplanned", unplanned, words.Electrician, "Nothing for you here until the foreman has been."},
		{"measured", at(words.FirstFix, words.InHand), words.Electrician,
			"Nothing stands in its way. Offer first fix when it is done."},
		{"offered", at(words.FirstFix, words.Offered), words.Electrician,
			"Nothing for you here until the foreman has signed off first fix."},
		{"offered", at(words.FirstFix, words.Offered), words.Foreman,
			"First fix is offered and nothing stands in its way. Sign off first fix."},
		{"offered, soft", soft, words.Foreman, "First fix is offered, 1 thing needs your reason. Sign off first fix."},
		{"boarding", at(words.Boarding, words.InHand), words.Electrician, "2 tails are not seen free. Look at D1 next."},
		{"boarding", at(words.Boarding, words.InHand), words.Plumber,
			"Nobody has checked that the tail of W3 is free. Check that it hangs free of timber and insulation, before " +
				"the boards go up."},
		{"boarding", at(words.Boarding, words.InHand), words.Plasterer, "Nothing for you here until the boards are up."},
		{"boarding", seen, words.Electrician, "Nothing for you here until the plaster is on."},
		{"boarding", seen, words.DryLiner,
			"The board on the south wall has no as-built thickness. Measure its thickness, or a span across the room."},
		{"boarded", boarded, words.DryLiner, "Nothing for you here until the foreman has signed off boarding."},
		{"boarding", seen, words.Tiler, "Nothing for you here."},
		{"second fix", fan, words.Plumber,
			"W3 is not cut yet. Cut it and record what was behind it, or have the client leave it out."},
		{"second fix", fan, words.Electrician,
			"No hole has proved the set-out yet. Cut D1 first and record where its tail was before you cut the rest."},
		{"second fix", fan, words.Client, "D2 is held until you decide: fan of unknown size. Decide about D2."},
		{"second fix", fan, words.Foreman,
			"D2 is held: fan of unknown size. Have it decided, then release it or have the client leave it out."},
		{"second fix", fan, words.Decorator, "Nothing for you here until the holes are cut."},
		{"decoration", patch, words.Decorator, "The patch at D1 is not filled. Fill it."},
		{"decoration", patch, words.Electrician, "Nothing for you here."},
		{"finished", done(), words.Decorator, "Nothing more for you here: the room is finished."},
		{"finished", done(), words.Client, "This room is finished."},
	} {
		got := judge(c.r, today).Next(c.t)
		if got.Sentence != c.want {
			t.Errorf("%s, %s:\ngot  %s\nwant %s", c.name, c.t, got.Sentence, c.want)
		}
		if (got.Task == nil) != (len(judge(c.r, today).Tasks(c.t)) == 0) {
			t.Errorf("%s, %s: task %+v", c.name, c.t, got.Task)
		}
	}
}

func TestWhoIsNext(t *testing.T) {
	tails := at(words.Boarding, words.InHand)
	held := at(words.SecondFix, words.InHand)
	held.Openings = done().Openings
	held.proved(day(31))
	held.Positions[1].Held = true
	for _, c := range []struct {
		r    *sample
		want words.Trade
	}{
		{at(words.FirstFix, words.InHand), words.Electrician}, {at(words.FirstFix, words.Offered), words.Foreman}, {tails,
			words.Electrician},
		{at(words.Plaster, words.InHand), words.Plasterer}, {held, words.Client}, {at(words.Decoration, words.InHand),
			words.Decorator}, {done(), ""},
		{newSample("", newGates()), words.Foreman},
	} {
		if got := judge(c.r, today).WhoNext(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// Whoever's turn it is has a task, in every state of every stage: a room never
// stands still with nobody to move it.
func TestWhoeverIsNextHasATask(t *testing.T) {
	for _, s := range words.Stages {
		for _, is := range []words.State{words.InHand, words.Offered} {
			rooms := []*sample{at(s, is), newSample("Hall", gatesAt(s, is))}
			for _, c := range ruleCases {
				r := done()
				c.breaks(r)
				r.Gates = gatesAt(s, is)
				rooms = append(rooms, r)
			}
			for _, r := range rooms {
				who := judge(r, today).WhoNext()
				if len(judge(r, today).Tasks(who)) == 0 {
					t.Errorf("%s %s: %s is next and has no task; obstacles %+v", s, is, who, judge(r, today).Obstacles(s))
				}
			}
		}
	}
}

func TestReady(t *testing.T) {
	r := at(words.Boarding, words.InHand)
	if _, _, ok := judge(r, today).Ready(words.DryLiner); ok {
		t.Error("ready with tails not seen")
	}
	r.seen(8, 1)
	if s, since, ok := judge(r, today).Ready(words.DryLiner); !ok || s != words.Boarding || !since.Equal(day(10)) {
		t.Errorf("%v %v %v, want ready since the last tail was seen", s, since, ok)
	}
	if _, _, ok := judge(r, today).Ready(words.Plasterer); ok {
		t.Error("plasterer ready before the boards")
	}
	r = at(words.Plaster, words.InHand)
	if s, since, ok := judge(r, today).Ready(words.Plasterer); !ok || s != words.Plaster || !since.Equal(day(17)) {
		t.Errorf("%v %v %v, want ready since boarding was signed off", s, since, ok)
	}
	r = at(words.SecondFix, words.InHand)
	r.finished(day(58))
	if _, _, ok := judge(r, today).Ready(words.Electrician); ok {
		t.Error("electrician ready before the plaster is dry")
	}
	if _, since, ok := judge(r, day(62)).Ready(words.Electrician); !ok || !since.Equal(words.Zone("UTC").Day(day(61))) {
		t.Errorf("%v %v", since, ok)
	}
	if _, _, ok := judge(at(words.Plaster, words.Offered), today).Ready(words.Plasterer); ok {
		t.Error("ready for a stage that is offered already")
	}
}

func TestTilerComesWhereTilesArePlanned(t *testing.T) {
	r := at(words.Plaster, words.InHand)
	r.Layers = append(r.Layers, room.Layer{ID: ref[id.Layer]("t"), Surface: r.Surfaces[0].ID, Datum: r.Datums[0].ID,
		Name: "Tile", Stage: words.Plaster})
	tasks := judge(r, today).Tasks(words.Tiler)
	if len(tasks) != 1 || tasks[0].Code != "not_as_built" || tasks[0].Where != "ceiling, Utility" {
		t.Errorf("%+v", tasks)
	}
	if got := judge(r, today).Lead(words.Plaster); !slices.Equal(got, []words.Trade{words.Plasterer, words.Tiler}) {
		t.Errorf("%v", got)
	}
	r.Layers[2].Stage = words.Decoration
	if got := judge(r, today).Lead(words.Decoration); !slices.Equal(got, []words.Trade{words.Decorator, words.Tiler}) {
		t.Errorf("%v", got)
	}
}

// The client's list has held positions from the first day, and nothing else.
func TestClientSeesDecisionsOnly(t *testing.T) {
	r := at(words.FirstFix, words.InHand)
	r.says(0).Determinate = false
	r.Positions[2].Held = true
	tasks := judge(r, today).Tasks(words.Client)
	if len(tasks) != 1 || plain(tasks[0].About).ID != "W3" || tasks[0].Code != TaskDecide {
		t.Errorf("%+v", tasks)
	}
}
