package programme

import (
	"math"
	"math/rand/v2"

	"lathmark/domain/words"
)

// outer is how many standard deviations from the middle 5 in 100 and 95 in 100 lie, of a
// normal distribution: what least and most mean here.
const outer = 1.6448536269514722

// rate is a Rate with how it is known. A draw of it is lognormal on either side of Likely,
// which is its middle: 5 in 100 are under Least, 5 in 100 over Most.
type rate struct {
	Rate
	// shared is the part of the spread, as variance, that all work of a firm has in common:
	// how fast its people are is not known. The rest differs from room to room.
	shared  float64
	assumed bool
}

// assumedShare is shared where nothing was learned. Our own: firms differ somewhat more
// than the rooms of one do.
const assumedShare = 0.55

// practice are slots of one pair of hands for a unit: a position, a hole, a square metre
// of each layer. Common practice, no source.
var practice = []Rate{
	{words.Electrician, words.FirstFix, 0.22, 0.38, 0.70},
	{words.Plumber, words.FirstFix, 0.35, 0.60, 1.10},
	{words.DryLiner, words.Boarding, 0.16, 0.25, 0.42},
	{words.Tiler, words.Boarding, 0.18, 0.30, 0.50},
	{words.Plasterer, words.Plaster, 0.11, 0.17, 0.28},
	{words.Tiler, words.Plaster, 0.32, 0.50, 0.85},
	{words.Electrician, words.SecondFix, 0.14, 0.25, 0.45},
	{words.Plumber, words.SecondFix, 0.35, 0.60, 1.10},
	{words.Tiler, words.SecondFix, 0.32, 0.50, 0.85},
	{words.Decorator, words.Decoration, 0.12, 0.20, 0.34},
	{words.Tiler, words.Decoration, 0.32, 0.50, 0.85},
}

// snagRate is of everything that has no line in practice, as a snag: an hour or two each.
var snagRate = Rate{Least: 0.3, Likely: 0.6, Most: 1.5}

// Assumed returns the rates that hold where a firm has set and shown none. They are
// common practice, no source.
func Assumed() []Rate { return append([]Rate(nil), practice...) }

func assumedRate(t words.Trade, s words.Stage) Rate {
	for _, r := range practice {
		if r.Trade == t && r.Stage == s {
			return r
		}
	}
	out := snagRate
	out.Trade, out.Stage = t, s
	return out
}

// rates returns how long a trade takes in a stage: as the firm has set it, else as its
// diary shows, else as assumed.
func (in *Input) rate(t words.Trade, s words.Stage) rate {
	for _, r := range in.Rates {
		if r.Trade == t && r.Stage == s {
			return rate{r, assumedShare, false}
		}
	}
	for _, l := range in.Learned {
		if l.Trade == t && l.Stage == s {
			return rate{l.Rate, l.Shared, l.Days == 0}
		}
	}
	return rate{assumedRate(t, s), assumedShare, true}
}

// at returns the rate that lies so many standard deviations from the middle.
func (r *rate) at(z float64) float64 {
	if z < 0 {
		return r.Likely * math.Pow(r.Least/r.Likely, -z/outer)
	}
	return r.Likely * math.Pow(r.Most/r.Likely, z/outer)
}

// draw returns a rate by chance; common is the firm's own standard normal draw.
func (r *rate) draw(common float64, chance *rand.Rand) float64 {
	return r.at(math.Sqrt(r.shared)*common + math.Sqrt(1-r.shared)*chance.NormFloat64())
}

// slots returns how many slots a crew needs for units of work, whole and at least one: no
// trade comes for half an hour.
func slots(units, each float64, people int) int {
	return max(1, int(math.Round(units*each/float64(max(people, 1)))))
}
