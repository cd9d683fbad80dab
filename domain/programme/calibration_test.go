package programme

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// truth is an invented firm: how far its people's rates lie from the common practice, and
// how far apart its rooms are.
type truth struct {
	chance *rand.Rand
	off    map[Piece]float64 // by stage and trade: the factor of its middle
	rooms  float64           // standard deviation of a room, as logarithm
}

func newTruth(seed uint64) *truth {
	t := &truth{chance: rand.New(rand.NewPCG(seed, 0)), off: map[Piece]float64{}, rooms: 0.22}
	for _, r := range practice {
		t.off[Piece{Stage: r.Stage, Trade: r.Trade}] = math.Exp(t.chance.NormFloat64() * 0.25)
	}
	return t
}

// takes returns the slots of one pair of hands that the firm takes for a unit this time.
func (t *truth) takes(w *piece) float64 {
	return assumedRate(w.Trade, w.Stage).Likely * t.off[Piece{Stage: w.Stage, Trade: w.Trade}] *
		math.Exp(t.chance.NormFloat64()*t.rooms)
}

// TestDaysCalled80In100AreKept simulates a firm whose rates are others than assumed, job
// after job, each planned with what was learned from those before and then done. Of the
// days called 80 in 100, for stages and jobs, 78 to 82 in 100 are to be kept.
// LATHMARK_JOBS asks for another number of jobs, LATHMARK_SEED for another firm.
func TestDaysCalled80In100AreKept(t *testing.T) {
	jobs, seed := setting(t, "LATHMARK_JOBS", 400), uint64(setting(t, "LATHMARK_SEED", 7))
	t.Logf("seed %d, %d jobs", seed, jobs)
	firm := newTruth(seed)
	h := newHouse(t)
	for _, tr := range words.Trades[1:8] {
		h.crew(tr, tr.String(), 1)
	}
	var facts []Fact
	var stages, finished tally
	began := time.Now()
	for n := range jobs {
		p := h.planned(firm.chance, Learn(facts), seed+uint64(n))
		r, l := newRun(len(p.pieces)), p.likelyLasts()
		for i := range p.pieces {
			w := &p.pieces[i]
			l.slots[i] = int32(slots(w.units, firm.takes(w), 1))
			l.dries[i] = firm.chance.Float64() + firm.chance.Float64()
			facts = append(facts, Fact{w.Trade, w.Stage, w.units, float64(l.slots[i])})
		}
		p.run(&r, l, withCrews, p.order)
		for room := range p.Rooms {
			for s := range words.Stages {
				if len(p.stages[room][s]) > 0 {
					stages.see(p, p.odds.stages[room][s], p.ends(&r, room, s))
				}
			}
		}
		end, _ := p.jobEnd(&r, 0)
		finished.see(p, p.odds.jobs[0], end)
	}
	t.Logf("stages: %v; jobs: %v; %v", stages, finished, time.Since(began).Round(time.Millisecond))
	for name, kept := range map[string]float64{"stages": stages.share(),
		"stages and jobs": stages.with(finished).share()} {
		if kept < 0.78 || kept > 0.82 {
			t.Errorf("seed %d: of the days of %s called 80 in 100, %.1f in 100 were kept", seed, name, 100*kept)
		}
	}
}

// tally counts days that were called, and those that were kept, of 50, 80 and 95 in 100.
type tally struct {
	called int
	kept   [3]int
}

// see counts one end. Where one day has so many of the draws that no day has about 80 in
// 100 of them, none is called that: the share is the model's own, not what came of it.
func (c *tally) see(p *plan, drawn []int32, end int32) {
	in := p.cal.percentiles(drawn)
	by := 0
	for _, slot := range drawn {
		if !p.ended(slot).After(p.ended(int32(in[1]))) {
			by++
		}
	}
	if share := float64(by) / float64(len(drawn)); share < 0.7 || share > 0.9 {
		return
	}
	c.called++
	for k, called := range in {
		if !p.ended(end).After(p.ended(int32(called))) {
			c.kept[k]++
		}
	}
}

func (c tally) share() float64 { return float64(c.kept[1]) / float64(c.called) }

func (c tally) with(o tally) tally {
	c.called += o.called
	for k := range c.kept {
		c.kept[k] += o.kept[k]
	}
	return c
}

// planned is a job of rooms by chance, planned with what was learned.
func (h *house) planned(chance *rand.Rand, learned []Learned, seed uint64) *plan {
	h.Helper()
	h.Rooms, h.Learned, h.Seed = nil, learned, seed
	job := nth[id.Job](h)
	for range 2 + chance.IntN(5) {
		h.room(job, "House", "Room", words.Stages[chance.IntN(3)], 3+chance.IntN(15))
	}
	p, err := newPlan(&h.Input)
	if err != nil {
		h.Fatal(err)
	}
	for i := range p.pieces {
		w := &p.pieces[i]
		w.units *= 1 + 4*chance.Float64()
		w.least, w.likely = slots(w.units, w.rate.Least, 1), slots(w.units, w.rate.Likely, 1)
	}
	if err := p.arrange(20); err != nil {
		h.Fatal(err)
	}
	p.odds = p.draw(400)
	return p
}

func setting(t *testing.T, name string, usual int) int {
	t.Helper()
	text := os.Getenv(name)
	if text == "" {
		return usual
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return n
}
