package geometry

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// benchSurface returns a surface with so many positions, four measurements for
// each, and the same faces, steel and joists whatever their number. Every tenth
// position has one reading with a wrong state, so that suspects are read, too.
func benchSurface(positions int, distances bool) *Surface {
	rng := rand.New(rand.NewPCG(50, 4))
	sh := shape{positions: positions, offsets: 4, states: true}
	if distances {
		sh.offsets, sh.distances = 3, true
	}
	sim := simulate(rng, sh)
	for k := 7; k < len(sim.Measurements); k += 40 {
		if z := &sim.Measurements[k]; z.Kind == Offset && sim.Datums[z.From].Kind == Face {
			z.State = (z.State + 2) % 4
		}
	}
	return sim.Surface
}

// kinds of surface: offsets only (linear), and with a chain of distances.
var benchKinds = map[string]bool{"offsets": false, "distances": true}

func BenchmarkSolve(b *testing.B) {
	for name, distances := range benchKinds {
		for _, n := range []int{50, 500} {
			s := benchSurface(n, distances)
			b.Run(fmt.Sprintf("%s/%d", name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					Solve(s)
				}
			})
		}
	}
}

// BenchmarkRatios times, in alternation within one run, everything that the
// contract asks of 50 positions and about 200 measurements against
//   - the twin with the same tests, states, set-outs, marks and first hole done
//     the plain way ("plain/solve"; timbers and find are left out of it),
//   - the twin's dense adjustment and full inverse alone, with nothing read off
//     it yet ("bare/solve"),
//   - 500 positions ("500/50").
func BenchmarkRatios(b *testing.B) {
	for name, distances := range benchKinds {
		b.Run(name, func(b *testing.B) {
			s, large := benchSurface(50, distances), benchSurface(500, distances)
			start := determine(newModel(s), make([]bool, len(s.Positions))).start
			var sparse, bare, plain, big stopwatch
			for b.Loop() {
				for range 10 { // both sizes from warm caches
					sparse.time(func() { Solve(s) })
				}
				for range 4 {
					big.time(func() { Solve(large) })
				}
				bare.time(func() { newTwin(s, start) })
				plain.time(func() { newTwin(s, start).answer(start) })
			}
			b.ReportMetric(plain.over(sparse), "plain/solve")
			b.ReportMetric(bare.over(sparse), "bare/solve")
			b.ReportMetric(big.over(sparse), "500/50")
		})
	}
}

// stopwatch keeps the mean of several times, the garbage collector's share
// included.
type stopwatch struct {
	sum   time.Duration
	times int
}

func (s *stopwatch) time(f func()) {
	from := time.Now()
	f()
	s.sum += time.Since(from)
	s.times++
}

func (s stopwatch) mean() float64 { return float64(s.sum) / float64(s.times) }

func (s stopwatch) over(o stopwatch) float64 { return s.mean() / o.mean() }
