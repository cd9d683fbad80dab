package sequence

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// site returns a firm with five jobs and so many rooms of five stages each: eight crews,
// most of one, plaster that dries over weekends, boards that go through another room.
func site(rooms int) *Project {
	rng := rand.New(rand.NewPCG(60, uint64(rooms)))
	p := &Project{Seed: 1}
	for c, size := range []int{1, 1, 1, 1, 1, 2, 2, 1} {
		p.Crews = append(p.Crews, Crew{ID: fmt.Sprint(c), Size: size, Away: []Away{{7 * c, 7*c + 3, 0}}})
	}
	for day := range 2000 {
		p.Calendar = append(p.Calendar, day+2*(day/5))
	}
	for r := range rooms {
		for stage := range 5 {
			w := Work{ID: fmt.Sprintf("%d/%d", r, stage), Days: 1 + rng.IntN(3)}
			w.Needs = []Need{{p.Crews[(stage*2+rng.IntN(2))%8].ID, 1}}
			if stage > 0 {
				w.After = []After{{Work: fmt.Sprintf("%d/%d", r, stage-1), Lag: 1, Dry: stage / 3 * 5}}
			}
			if stage == 4 && r > 5 && rng.IntN(3) == 0 {
				w.After = append(w.After, After{Work: fmt.Sprintf("%d/1", r-5)})
			}
			if stage == 4 {
				w.Due = &Due{(20 + rng.IntN(40)) * rooms / 60 * 2, 1}
			}
			p.Work = append(p.Work, w)
		}
	}
	return p
}

// BenchmarkSite times a firm with five jobs and 60 rooms, and how the time of one
// schedule grows, per piece of work and the logarithm of their number, from 300 pieces
// to 2,000: at most 1 where it grows no faster.
func BenchmarkSite(b *testing.B) {
	var of [2]time.Duration
	for b.Loop() {
		for k, rooms := range []int{60, 400} {
			p := site(rooms)
			p.Schedules = []int{0, 1000}[k]
			from := time.Now()
			a, err := Plan(b.Context(), p)
			if err != nil || a.Schedules < 1000 {
				b.Fatal(a.Schedules, err)
			}
			each := time.Since(from) / time.Duration(a.Schedules)
			n := float64(len(p.Work))
			of[k] += time.Duration(float64(each) / (n * math.Log2(n)) * 1e6)
			if k == 0 {
				b.ReportMetric(float64(time.Since(from).Milliseconds()), "ms/site")
				b.ReportMetric(float64(a.Schedules), "schedules/site")
			}
		}
	}
	b.ReportMetric(float64(of[1])/float64(of[0]), "2000/300-per-nlogn")
}

// BenchmarkPublished plans the published instances with 5,000 schedules each.
func BenchmarkPublished(b *testing.B) {
	for b.Loop() {
		b.ReportMetric(deviation(b, 5000, 1), "%over-optimum")
	}
}
