package programme

import (
	"math"

	"lathmark/domain/words"
)

// Fact is what a trade really took for a stage of a room, in slots of one pair of hands.
type Fact struct {
	Trade words.Trade
	Stage words.Stage
	Units float64 // positions or m², as Rate counts them
	Slots float64
}

// Learned is a rate that a firm's own work has shown.
type Learned struct {
	Rate
	// Days is how many facts it rests on.
	Days int
	// Shared is the part of its spread that all the firm's work has in common: 0 to 1.
	Shared float64
}

// What is held of rates before a firm has shown anything, in logarithms: how far firms lie
// from the common practice is known from practice's own least and most; how far rooms of
// one firm lie apart counts as much as so many facts.
const priorFacts = 4.0

// Learn returns the rates that facts show, for each trade and stage of which there are
// any. With few it stays near what is assumed, with many it is the firm's own.
//
// Slots for a unit are taken as lognormal, about a middle that is the firm's. The middle
// has a normal prior about the common practice, the spread a scaled inverse chi-square
// one worth priorFacts facts; what is returned is the prediction for the next room: its
// middle, and 5 and 95 in 100.
func Learn(facts []Fact) (out []Learned) {
	for _, r := range practice {
		var logs []float64
		rounded := 0.0
		for _, f := range facts {
			if f.Trade == r.Trade && f.Stage == r.Stage && f.Units > 0 && f.Slots > 0 {
				logs = append(logs, math.Log(f.Slots/f.Units))
				rounded += 1 / (12 * f.Slots * f.Slots)
			}
		}
		if len(logs) > 0 {
			out = append(out, learn(r, logs, rounded))
		}
	}
	return out
}

// learn returns what logarithms of facts show of a rate; rounded is the variance that they
// have together because each is known to a slot only.
func learn(r Rate, logs []float64, rounded float64) Learned {
	whole := math.Log(r.Most/r.Least) / (2 * outer) // standard deviation of a room of any firm
	firms, rooms := whole*whole*assumedShare, whole*whole*(1-assumedShare)
	n, mean := float64(len(logs)), 0.0
	for _, x := range logs {
		mean += x / n
	}
	square := 0.0
	for _, x := range logs {
		square += (x - mean) * (x - mean)
	}
	rooms = (priorFacts*rooms + max(square-rounded, 0)) / (priorFacts + n - 1)
	known := 1 / (1/firms + n/rooms) // how well the firm's middle is known, as variance
	middle := known * (math.Log(r.Likely)/firms + mean*n/rooms)
	sd := math.Sqrt(known + rooms)
	at := func(z float64) float64 { return math.Exp(middle + z*sd) }
	return Learned{Rate{r.Trade, r.Stage, at(-outer), at(0), at(outer)}, len(logs), known / (known + rooms)}
}
