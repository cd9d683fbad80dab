package programme

import (
	"math"
	"math/rand/v2"
	"slices"
)

// odds are what the draws showed: of each the slot of every end, in the order of the draws.
type odds struct {
	stages   [][5][]int32 // of a room, when each stage was done
	jobs     [][]int32
	starts   [][]int32 // of a piece
	critical []int     // of a piece: in how many it lay on a job's critical chain
	stage    [][5]int  // of a stage of a room
	draws    int
}

// chance draws the durations so many times and keeps when everything was done.
func (p *plan) chance(draws int) {
	if draws == 0 {
		draws = UsualDraws
	}
	p.odds = p.draw(draws)
}

func (p *plan) draw(draws int) *odds {
	o := &odds{stages: make([][5][]int32, len(p.Rooms)), jobs: make([][]int32, len(p.jobs)),
		starts: make([][]int32, len(p.pieces)), critical: make([]int, len(p.pieces)),
		stage: make([][5]int, len(p.Rooms)), draws: draws}
	chance := rand.New(rand.NewPCG(p.Seed, 2))
	r, l := newRun(len(p.pieces)), p.likelyLasts()
	on := make([]bool, len(p.pieces))
	for range draws {
		p.drawLasts(&l, chance)
		p.run(&r, l, withCrews, p.order)
		for room := range p.Rooms {
			for s := range o.stages[room] {
				o.stages[room][s] = append(o.stages[room][s], p.ends(&r, room, s))
			}
		}
		for i := range p.pieces {
			o.starts[i] = append(o.starts[i], r.start[i])
		}
		clear(on)
		for job := range p.jobs {
			end, last := p.jobEnd(&r, job)
			o.jobs[job] = append(o.jobs[job], end)
			for i := int32(last); i >= 0 && !on[i]; i = r.by[i] {
				on[i] = true
			}
		}
		o.note(p, on)
	}
	return o
}

// note counts what lay on a critical chain in a draw.
func (o *odds) note(p *plan, on []bool) {
	for i, is := range on {
		if is {
			o.critical[i]++
		}
	}
	for room := range p.stages {
		for s, all := range p.stages[room] {
			if slices.ContainsFunc(all, func(i int) bool { return on[i] }) {
				o.stage[room][s]++
			}
		}
	}
}

// share is how many of the draws that are.
func (o *odds) share(n int) float64 { return float64(n) / float64(o.draws) }

// drawLasts draws how long everything takes: how fast the firm's trades are, once for each
// trade and stage, and beside it what differs from room to room. What dries takes from the
// least to as much longer than usual as it can be shorter, in a triangle.
func (p *plan) drawLasts(l *lasts, chance *rand.Rand) {
	type whose struct {
		crew, stage int
	}
	common := map[whose]float64{}
	for i := range p.pieces {
		w := &p.pieces[i]
		of := whose{w.crew, int(w.Stage)}
		z, drawn := common[of]
		if !drawn {
			z = chance.NormFloat64()
			common[of] = z
		}
		l.slots[i] = int32(slots(w.units, w.rate.draw(z, chance), p.crews[w.crew].People))
		l.dries[i] = chance.Float64() + chance.Float64()
	}
}

// shares are those of 50, 80 and 95 in 100.
var shares = [3]float64{0.50, 0.80, 0.95}

// percentiles returns of slots the ends of the days by which shares of them have come:
// the day that leaves a share that is nearest, so that a day which many draws have in
// common is not called surer than was asked for.
func (c *calendar) percentiles(of []int32) (out [3]int) {
	sorted := slices.Clone(of)
	slices.Sort(sorted)
	off := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	for i, slot := range sorted {
		day := (int(slot) - 1) / SlotsADay
		if i+1 < len(sorted) && (int(sorted[i+1])-1)/SlotsADay == day {
			continue
		}
		for k, share := range shares {
			if miss := math.Abs(float64(i+1)/float64(len(sorted)) - share); miss < off[k] {
				off[k], out[k] = miss, int(slot)
			}
		}
	}
	return out
}
