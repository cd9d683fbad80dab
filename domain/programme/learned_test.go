package programme

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 0.0005*math.Max(1, want) {
		t.Errorf("%s: %.4f, want %.4f", what, got, want)
	}
}

// By hand, of the electrician's first fix: 0.22, 0.38, 0.70. The whole spread is
// ln(0.70/0.22)/3.2897 = 0.35186, its variance 0.12381: 0.06809 between firms (0.55), 0.05571
// between rooms. One fact of twice the usual: the firm's middle is known to 1/(1/0.06809 +
// 1/0.05571) = 0.03064, and lies 0.03064/0.05571 × ln 2 = 0.38123 over practice: 0.38 ×
// 1.4641 = 0.5564. The next room spreads by √(0.03064 + 0.05571) = 0.29386.
func TestOneFactMovesARateHalfWay(t *testing.T) {
	if got := Learn(nil); len(got) > 0 {
		t.Errorf("nothing shows %v", got)
	}
	got := Learn([]Fact{{words.Electrician, words.FirstFix, 10, 7.6}, {words.Electrician, words.SecondFix, 0, 3}})
	if len(got) != 1 || got[0].Days != 1 || got[0].Trade != words.Electrician || got[0].Stage != words.FirstFix {
		t.Fatalf("%+v", got)
	}
	near(t, "likely", got[0].Likely, 0.5564)
	near(t, "most", got[0].Most, 0.5564*math.Exp(outer*0.29386))
	near(t, "least", got[0].Least, 0.5564/math.Exp(outer*0.29386))
	near(t, "shared", got[0].Shared, 0.03064/(0.03064+0.05571))
}

// With many facts a rate is the firm's own, and its spread that of its rooms.
func TestManyFactsAreTheFirmsOwn(t *testing.T) {
	chance := rand.New(rand.NewPCG(5, 0))
	t.Log("seed 5")
	var facts []Fact
	for range 2000 {
		facts = append(facts, Fact{words.Decorator, words.Decoration, 100, 35 * math.Exp(0.1*chance.NormFloat64())})
	}
	got := Learn(facts)[0]
	spread := math.Log(got.Most/got.Least) / (2 * outer)
	if math.Abs(got.Likely/0.35-1) > 0.02 || math.Abs(spread/0.1-1) > 0.1 || got.Shared > 0.01 {
		t.Errorf("%+v", got)
	}
}

// What a firm has set goes before what it has shown, and that before what is assumed.
func TestWhoseRateHolds(t *testing.T) {
	in := Input{Learned: []Learned{{Rate{words.Tiler, words.Plaster, 1, 2, 3}, 4, 0.5}}}
	if r := in.rate(words.Tiler, words.Plaster); r.Likely != 2 || r.assumed {
		t.Errorf("%+v", r)
	}
	if r := in.rate(words.Decorator, words.Decoration); r.Likely != 0.20 || !r.assumed {
		t.Errorf("%+v", r)
	}
	in.Rates = []Rate{{words.Tiler, words.Plaster, 2, 4, 6}}
	if r := in.rate(words.Tiler, words.Plaster); r.Likely != 4 || r.assumed {
		t.Errorf("%+v", r)
	}
	for _, r := range Assumed() {
		if !(0 < r.Least && r.Least < r.Likely && r.Likely < r.Most) {
			t.Errorf("%+v", r)
		}
		known := rate{Rate: r}
		near(t, "5 in 100", known.at(-outer), r.Least)
		near(t, "the middle", known.at(0), r.Likely)
		near(t, "95 in 100", known.at(outer), r.Most)
	}
	for _, c := range []struct {
		units, each  float64
		people, want int
	}{{12, 0.25, 1, 3}, {12, 0.25, 2, 2}, {1, 0.1, 1, 1}, {10, 0.25, 0, 3}} {
		if got := slots(c.units, c.each, c.people); got != c.want {
			t.Errorf("%v: %d slots", c, got)
		}
	}
}

// By hand. One electrician, who wrote in the kitchen (12 positions) on Monday 2 and Tuesday
// 3 November, and in the hall (4) on Tuesday: Monday's four slots are the kitchen's, and
// Tuesday's are shared three to one. Boarding was all written down on Friday 13, first fix
// signed off on Monday 9: 12 m² take at most 12 × 0.42 = 5 slots, so it is the Thursday
// and the Friday.
func TestWhatTheDiaryShows(t *testing.T) {
	h := newHouse(t)
	job, pat, tom := nth[id.Job](h), nth[id.Member](h), nth[id.Member](h)
	kitchen := h.room(job, "Mill Loft", "Kitchen", words.Plaster, 12)
	hall := h.room(job, "Mill Loft", "Hall", words.Boarding, 4)
	nov := func(day, hour int) time.Time { return time.Date(2026, 11, day, hour, 0, 0, 0, time.UTC) }
	kitchen.Gates[words.FirstFix].SignedAt = nov(9, 17)
	on := func(room id.Room, s words.Stage, t words.Trade, who id.Member, day int) DayWorked {
		return DayWorked{room, s, t, who, nov(day, 0)}
	}
	worked := []DayWorked{on(kitchen.ID, words.FirstFix, words.Electrician, pat, 2),
		on(kitchen.ID, words.FirstFix, words.Electrician, pat, 3), on(hall.ID, words.FirstFix, words.Electrician, pat, 3),
		on(kitchen.ID, words.Boarding, words.DryLiner, tom, 13),
		on(nth[id.Room](h), words.FirstFix, words.Electrician, pat, 9),
		on(hall.ID, words.SecondFix, words.Electrician, pat, 9)}
	want := map[Fact]bool{{words.Electrician, words.FirstFix, 12, 7}: true,
		{words.Electrician, words.FirstFix, 4, 1}: true, {words.DryLiner, words.Boarding, 12, 8}: true}
	got := Facts(&h.Given, nil, h.Rooms, worked)
	for _, f := range got {
		if f.Slots = math.Round(f.Slots*1e6) / 1e6; !want[f] {
			t.Errorf("%+v", f)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d facts", len(got))
	}
}
