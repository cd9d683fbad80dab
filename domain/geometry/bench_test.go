package geometry

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// benchSurface has so many positions, four measurements for each, and the same
// faces, steel and joists whatever their number. Every tenth position has one
// reading with a wrong state, so that suspects are read, too.
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

// BenchmarkRatios times, turn by turn in one run, everything that the contract
// asks of 50 positions and about 200 measurements against
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
			var sparse, bare, plain, big time.Duration
			for b.Loop() {
				sparse += timed(func() {
					for range 20 {
						Solve(s)
					}
				}) / 20
				bare += timed(func() { newTwin(s, start) })
				plain += timed(func() { newTwin(s, start).everything(start) })
				big += timed(func() { Solve(large) })
			}
			b.ReportMetric(float64(plain)/float64(sparse), "plain/solve")
			b.ReportMetric(float64(bare)/float64(sparse), "bare/solve")
			b.ReportMetric(float64(big)/float64(sparse), "500/50")
		})
	}
}

func timed(f func()) time.Duration {
	from := time.Now()
	f()
	return time.Since(from)
}
