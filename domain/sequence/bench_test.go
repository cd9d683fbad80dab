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

// BenchmarkSite times a firm with five jobs and 60 rooms with the usual schedules.
func BenchmarkSite(b *testing.B) {
	p := site(60)
	for b.Loop() {
		planned(b, p)
	}
	b.ReportMetric(float64(Usual(p)), "schedules/op")
}

// BenchmarkGrowth says how the time of one schedule grows, per piece of work and the
// logarithm of their number, from 300 pieces to 2,000, in turns within one run: about 1
// where it is n log n.
func BenchmarkGrowth(b *testing.B) {
	small, large := site(60), site(400)
	small.Schedules, large.Schedules = 6000, 1000
	var of [2]time.Duration
	for b.Loop() {
		for k, p := range []*Project{small, large} {
			from := time.Now()
			planned(b, p)
			of[k] += time.Since(from) / time.Duration(p.Schedules)
		}
	}
	each := func(k int, p *Project) float64 {
		n := float64(len(p.Work))
		return float64(of[k]) / (n * math.Log2(n))
	}
	b.ReportMetric(each(1, large)/each(0, small), "2000/300-per-nlogn")
}

// planned plans with all the schedules that may be tried.
func planned(b *testing.B, p *Project) {
	b.Helper()
	if a, err := Plan(b.Context(), p); err != nil || p.Schedules > 0 && a.Schedules != p.Schedules {
		b.Fatal(a.Schedules, err)
	}
}

// BenchmarkPublished plans the published instances with 5,000 schedules each.
func BenchmarkPublished(b *testing.B) {
	for b.Loop() {
		b.ReportMetric(deviation(b, 5000, 1), "%over-optimum")
	}
}
