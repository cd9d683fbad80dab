package verdict_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"

	"gonum.org/v1/gonum/stat/distuv"
)

// truth is how the utility really is: each wall's shift inward, the layers on
// the west wall, and where the two positions are. Walls and layers are drawn
// as the room sheet says that they spread.
type truth struct {
	shift map[string]float64
	west  map[string]float64 // what is on the west wall, by state
	at    map[string]roomsheet.Point
}

func draw(rng *rand.Rand) truth {
	w := truth{shift: map[string]float64{}, west: map[string]float64{"": 0, "bare": 0}, at: map[string]roomsheet.Point{}}
	for _, wall := range []string{"south", "east", "north", "west"} {
		w.shift[wall] = 10 * rng.NormFloat64()
	}
	w.shift["steel"] = 2 * rng.NormFloat64()
	w.west["board"] = 62.5 + 3*rng.NormFloat64()
	w.west["skim"] = w.west["board"] + 3 + rng.NormFloat64()
	for _, p := range []string{"D1", "D2"} {
		w.at[p] = roomsheet.Point{300 + 3000*rng.Float64(), 200 + 1200*rng.Float64()}
	}
	return w
}

// offset is what an honest tape reads from a wall of the utility.
func (w truth) offset(rng *rand.Rand, of, from, state string) float64 {
	p := w.at[of]
	clear := map[string]float64{"south": p[1], "east": 3600 - p[0], "north": 2400 - p[1], "west": p[0],
		"steel": p[1] - 1500}[from]
	if from == "west" {
		clear -= w.west[state]
	}
	clear -= w.shift[from]
	return clear + roomsheet.TapeSigma(clear)*rng.NormFloat64()
}

// distance is what an honest tape reads from one position to the other.
func (w truth) distance(rng *rand.Rand) float64 {
	d := math.Hypot(w.at["D1"][0]-w.at["D2"][0], w.at["D1"][1]-w.at["D2"][1])
	return d + roomsheet.TapeSigma(d)*rng.NormFloat64()
}

// Of honest readings one in a thousand is asked about, and no more: 0.1 % is
// what |w| > 3.29 lets pass of a normal (two-sided; tables of the normal give
// 3.2905). The count must lie where a binomial does 9,998 times in 10,000.
func TestHonestReadingsAreSeldomAskedAbout(t *testing.T) {
	const seed, trials = 20261125, 10_000
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	asked := 0
	for range trials {
		if honest(t, rng) != "" {
			asked++
		}
	}
	share := 2 * distuv.UnitNormal.Survival(3.29)
	low, high := band(trials, share)
	t.Logf("%d of %d honest readings were asked about, %.2f %%; between %d and %d are expected", asked, trials,
		100*float64(asked)/trials, low, high)
	if asked < low || asked > high {
		t.Errorf("that is outside")
	}
}

// honest takes seven honest readings of one room, the last of which is the one
// that is looked at, and returns the question.
func honest(t *testing.T, rng *rand.Rand) string {
	t.Helper()
	s, w := at(t, bareUtility), draw(rng)
	states := []string{"bare", "board", "skim"}
	for _, r := range [][2]string{{"D1", "south"}, {"D1", "west"}, {"D2", "north"}, {"D2", "east"}, {"D1", "steel"}} {
		state := ""
		if r[1] == "west" {
			state = states[rng.IntN(3)]
		}
		if _, err := deed.Alone(s.r, now).Measure(t.Context(),
			s.offset(r[0], r[1], state, w.offset(rng, r[0], r[1], state))); err != nil {
			t.Fatal(err)
		}
	}
	distance := room.Reading{Kind: words.Distance, Of: s.position("D1"), ToPosition: s.position("D2"),
		Value: w.distance(rng)}
	of := []string{"D1", "D2"}[rng.IntN(2)]
	from := []string{"south", "east", "west", "north", "steel"}[rng.IntN(5)]
	state := ""
	if from == "west" {
		state = states[rng.IntN(3)]
	}
	last := s.offset(of, from, state, w.offset(rng, of, from, state))
	if rng.IntN(4) == 0 && math.Hypot(w.at["D1"][0]-w.at["D2"][0], w.at["D1"][1]-w.at["D2"][1]) > 500 {
		last = distance
	}
	last.ID = id.New[id.Measurement]()
	return s.take(last).Question
}

// band is where a binomial count lies 9,998 times in 10,000.
func band(n int, p float64) (low, high int) {
	b := distuv.Binomial{N: float64(n), P: p}
	for b.CDF(float64(low)) < 0.0001 {
		low++
	}
	for high = low; b.CDF(float64(high)) < 0.9999; high++ {
	}
	return low, high
}
