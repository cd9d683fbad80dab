package gate

import (
	"slices"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// apply does an act on stage s of a room in which every rule is met.
func apply(g Gates, act Act, s words.Stage) (Gates, error) {
	switch act {
	case ActOffer:
		return Offer(g, s)
	case ActReopen:
		return Reopen(g, s, "a pipe leaks")
	}
	r := done()
	r.Gates = g
	return judge(r, today).SignOff(s, nil, "MK")
}

// gatesAt are the gates with s in the state given, as the machine makes them:
// all before it signed off, all after it waiting.
func gatesAt(s words.Stage, is words.State) Gates {
	var g Gates
	for _, before := range words.Stages[:s] {
		g[before] = room.Gate{State: words.SignedOff, SignedAt: day(7)}
	}
	g[s] = room.Gate{State: is, SignedAt: day(7)}
	return g.follow(s)
}

// The machine has the moves of the table in the package's comment and no other.
func TestMachineMakesOnlyTheMovesOfTheTable(t *testing.T) {
	for _, s := range words.Stages {
		for _, from := range []words.State{words.Waiting, words.InHand, words.Offered, words.SignedOff} {
			for _, act := range []Act{ActOffer, ActSignOff, ActReopen} {
				g := gatesAt(s, from)
				if from == words.Waiting && s > words.FirstFix {
					g = gatesAt(s-1, words.InHand)
				}
				got, err := apply(g, act, s)
				i := slices.IndexFunc(Moves, func(m Move) bool { return m.Act == act && m.From == from })
				if i < 0 {
					if fault.KindOf(err) != fault.Conflict || got != g {
						t.Errorf("%s %s from %s: %v, %v", act, s, from, got, err)
					}
					continue
				}
				if err != nil || got[s].State != Moves[i].To {
					t.Errorf("%s %s from %s: %v, %v", act, s, from, got, err)
				}
			}
		}
	}
}

func TestSigningOffBringsTheNextStageInHand(t *testing.T) {
	g := newGates()
	for _, s := range words.Stages {
		if g[s].State != words.InHand {
			t.Fatalf("%s is %s", s, g[s].State)
		}
		var err error
		if g, err = apply(g, ActOffer, s); err != nil {
			t.Fatal(err)
		}
		if g, err = apply(g, ActSignOff, s); err != nil {
			t.Fatal(err)
		}
		if g[s].Initials != "MK" || !g[s].SignedAt.Equal(today) {
			t.Errorf("%s signed by %q at %v", s, g[s].Initials, g[s].SignedAt)
		}
	}
	if _, open := (&room.Record{Gates: g}).InHand(); open {
		t.Error("a stage is still open")
	}
}

func TestReopeningReopensWhatFollows(t *testing.T) {
	g, err := Reopen(done().Gates, words.Boarding, "a board is loose")
	if err != nil {
		t.Fatal(err)
	}
	want := [5]words.State{words.SignedOff, words.InHand, words.Waiting, words.Waiting, words.Waiting}
	for _, s := range words.Stages {
		if g[s].State != want[s] {
			t.Errorf("%s is %s", s, g[s].State)
		}
	}
	if got := ReopenedBy(done().Gates, words.Plaster); !slices.Equal(got, []words.Stage{words.Plaster, words.SecondFix,
		words.Decoration}) {
		t.Errorf("reopened by plaster: %v", got)
	}
	if got := ReopenedBy(gatesAt(words.Plaster, words.InHand), words.Boarding); !slices.Equal(got,
		[]words.Stage{words.Boarding, words.Plaster}) {
		t.Errorf("reopened by boarding: %v", got)
	}
	if got := ReopenedBy(g, words.Boarding); got != nil {
		t.Errorf("reopened by a stage in hand: %v", got)
	}
	if _, err := Reopen(done().Gates, words.Boarding, " \n"); fault.KindOf(err) != fault.BadInput {
		t.Errorf("without a reason: %v", err)
	}
}

func TestAPositionAddedAfterSignOffReopensFirstFix(t *testing.T) {
	g, reopened := AddPosition(gatesAt(words.Plaster, words.Offered))
	if !slices.Equal(reopened, []words.Stage{words.FirstFix, words.Boarding, words.Plaster}) ||
		g[words.FirstFix].State != words.InHand ||
		g[words.Boarding].State != words.Waiting {
		t.Errorf("%v, %v", g, reopened)
	}
	before := gatesAt(words.FirstFix, words.Offered)
	if g, reopened := AddPosition(before); g != before || reopened != nil {
		t.Errorf("before the sign-off: %v, %v", g, reopened)
	}
}

func TestSoftObstacleNeedsAReasonOfItsOwn(t *testing.T) {
	r := at(words.FirstFix, words.Offered)
	r.says(0).Checked, r.says(1).Checked = false, false
	accept := func(code, of, why string) Acceptance {
		return Acceptance{Code: code, About: About{Kind: KindPosition, ID: ref[id.Position](of).String()},
			Wrong: of + " is not checked: a misread tape would not show", Reason: why}
	}
	for _, c := range []struct {
		accepted []Acceptance
		left     int
	}{
		{nil, 2},
		{[]Acceptance{accept("not_checked", "D1", "one wall only")}, 1},
		{[]Acceptance{accept("not_checked", "D1", "x"), accept("not_checked", "D2", "  ")}, 1},
		{[]Acceptance{accept("suspect", "D1", "x"), accept("not_checked", "D3", "x")}, 2},
		{[]Acceptance{accept("not_checked", "D1", "x"), accept("not_checked", "D2", "y")}, 0},
		{[]Acceptance{accept("not_checked", "D1", "x"), {Code: "not_checked", Reason: "y", Wrong: "D2 is all right",
			About: About{Kind: KindPosition, ID: ref[id.Position]("D2").String()}}}, 1},
	} {
		if left := judge(r, today).MaySignOff(words.FirstFix, c.accepted); len(left) != c.left {
			t.Errorf("%+v: left %+v", c.accepted, left)
		}
		_, err := judge(r, today).SignOff(words.FirstFix, c.accepted, "MK")
		if (err == nil) != (c.left == 0) || err != nil && fault.KindOf(err) != fault.Obstacle {
			t.Errorf("%+v: %v", c.accepted, err)
		}
	}
}

func TestHardObstacleCannotBeAccepted(t *testing.T) {
	for _, c := range ruleCases {
		r := done()
		c.breaks(r)
		hardCase := slices.ContainsFunc(Rules, func(rule Rule) bool {
			return rule.Stage == c.stage && rule.Code == c.code &&
				rule.Hard
		})
		var all []Acceptance
		for _, o := range judge(r, today).Obstacles(c.stage) {
			all = append(all, Acceptance{Code: o.Code, About: o.About, Wrong: o.Wrong, Reason: "the foreman says so"})
		}
		if left := withCode(judge(r, today).MaySignOff(c.stage, all), c.code); (len(left) > 0) != hardCase {
			t.Errorf("%s/%s with everything accepted: %+v", c.stage, c.code, left)
		}
	}
}

func TestAcceptedObstaclesAreKeptWithTheirReasons(t *testing.T) {
	r := at(words.FirstFix, words.Offered)
	r.says(0).Checked, r.says(1).Determinate = false, false
	var all []Acceptance
	for _, o := range append(judge(r, today).Obstacles(words.FirstFix), Obstacle{Code: "suspect"}) {
		all = append(all, Acceptance{Code: o.Code, About: o.About, Wrong: o.Wrong, Reason: " one wall only\n"})
	}
	got := judge(r, today).AcceptedBy(words.FirstFix, all)
	if len(got) != 1 || got[0].Code != "not_checked" || plain(got[0].About).ID != "D1" ||
		got[0].Reason != "one wall only" {
		t.Errorf("%+v", got)
	}
}

// The sentence is the one that our look asks for.
func TestRefusalSaysWhatWhereAndTheWayOut(t *testing.T) {
	r := at(words.FirstFix, words.Offered)
	d4 := ref[id.Position]("D4")
	r.Positions = append(r.Positions, room.Position{ID: d4, Name: "D4", Kind: "downlight"})
	r.Measurements = append(r.Measurements, room.Measurement{ID: ref[id.Measurement]("x"), Kind: words.Offset, Of: d4,
		From: ref[id.Datum]("f")})
	g, err := judge(r, today).SignOff(words.FirstFix, nil, "MK")
	if g != r.Gates {
		t.Error("the gates moved")
	}
	want := "First fix in the utility cannot be signed off: D4 has one offset only. Measure it from a second " +
		"wall.\nposition/" + d4.String() + ": D4 has one offset only. Measure it from a second wall"
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}

func TestRefusedMovesSayWhy(t *testing.T) {
	for _, c := range []struct {
		g    Gates
		act  Act
		s    words.Stage
		want string
	}{
		{newGates(), ActOffer, words.Plaster, "Plaster waits: boarding is not signed off yet."},
		{newGates(), ActSignOff, words.FirstFix, "First fix is not offered yet. The trade offers it when it is done."},
		{newGates(), ActReopen, words.FirstFix, "First fix is not signed off, so there is nothing to reopen."},
		{gatesAt(words.Boarding, words.Offered), ActOffer, words.Boarding,
			"Boarding is offered already. The foreman signs it off."},
		{gatesAt(words.Boarding, words.SignedOff), ActOffer, words.Boarding, "Boarding is signed off already."},
		{gatesAt(words.Boarding, words.SignedOff), ActSignOff, words.Boarding, "Boarding is signed off already."},
	} {
		if _, err := apply(c.g, c.act, c.s); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}

func TestEveryPartIsFrozenByItsStage(t *testing.T) {
	for part, s := range frozenBy {
		if !Frozen(gatesAt(s, words.SignedOff), part) || Frozen(gatesAt(s, words.Offered), part) {
			t.Errorf("%s is not frozen by the sign-off of %s alone", part, s)
		}
		if got, ok := StageOf(part); !ok || got != s {
			t.Errorf("StageOf(%s) = %v, %v", part, got, ok)
		}
	}
	if _, ok := StageOf("weather"); ok || !Frozen(newGates(), "weather") {
		t.Error("an unknown part must be frozen")
	}
}
