package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// counts is what became of the holes of one method.
type counts struct {
	name                            string
	found, missed, onTimber, warned int // warned: of those missed or on timber
}

func (c *counts) add(list []hole) {
	for _, h := range list {
		if h.found && !h.onTimber {
			c.found++
			continue
		}
		if !h.found {
			c.missed++
		}
		if h.onTimber {
			c.onTimber++
		}
		if h.warned {
			c.warned++
		}
	}
}

// calibration compares chances that were given with what came of them.
type calibration struct {
	holes, came    int
	mean, variance float64 // sums
}

func (c *calibration) add(chance float64, came bool) {
	c.holes++
	c.mean += chance
	c.variance += chance * (1 - chance)
	if came {
		c.came++
	}
}

// given, share and error: the mean chance, the share that came, and the
// standard error that the chances themselves leave the share.
func (c *calibration) given() float64 { return c.mean / float64(c.holes) }
func (c *calibration) share() float64 { return float64(c.came) / float64(c.holes) }
func (c *calibration) error() float64 { return math.Sqrt(c.variance) / float64(c.holes) }

// tally is the whole trial.
type tally struct {
	tails, rooms         int
	raw, nominal, heeded counts
	find                 calibration // holes given a chance of 0.9 to 1 of being found
	hit                  calibration // all holes
	unwarned             int         // of the heeded: missed or on timber without a warning
	allowed              float64     // how many of those the stated chances allow
	allowedVariance      float64
}

// trial draws rooms, one of each plan in turn, until it has so many tails.
// Every method opens the same rooms from the same notebook.
func trial(tails int, seed uint64) tally {
	t := tally{
		raw:     counts{name: "the note as it stands"},
		nominal: counts{name: "less the planned build-up"},
		heeded:  counts{name: "adjusted, acting on warnings"},
	}
	for t.tails < tails {
		rng := rand.New(rand.NewPCG(seed, uint64(t.rooms)))
		s := newSite(rng, plans[t.rooms%len(plans)])
		f := s.firstFix(rng)
		t.rooms++
		t.tails += len(s.tape)
		t.raw.add(s.rawNote(f))
		t.nominal.add(s.byNominal(f))
		t.addHeeded(s.heeded(rng, f))
	}
	return t
}

func (t *tally) addHeeded(list []hole) {
	t.heeded.add(list)
	for _, h := range list {
		if h.find >= 0.9 {
			t.find.add(h.find, h.found)
		}
		t.hit.add(h.hit, h.onTimber)
		if h.warned {
			continue
		}
		bad := 1 - h.find*(1-h.hit)
		t.allowed += bad
		t.allowedVariance += bad * (1 - bad)
		if !h.found || h.onTimber {
			t.unwarned++
		}
	}
}

func rates() string {
	return fmt.Sprintf(`Invented rates: a class II tape read to the millimetre; %.0f %% of readings out by 10, 50 or
100 mm; %.0f %% noted with the wrong state; dabs %.0f to %.0f mm; faces drawn to ± %.0f mm, timbers to ± %.0f mm, tails
strayed by ± %.0f mm (all one standard deviation). Holes of %.0f mm, tails got hold of within %.0f mm.
`, 100*misread, 100*wrongState, dabsLeast, dabsMost, faceSigma, timberSigma, tailSigma, cutout, reach)
}

func (t *tally) table() string {
	var b strings.Builder
	fmt.Fprintf(&b, "| hole set out from | found at the first hole | missed | on timber | bad holes that had a "+
		"warning |\n|---|---|---|---|---|\n")
	for _, c := range []*counts{&t.raw, &t.nominal, &t.heeded} {
		bad := t.tails - c.found
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %d of %d |\n", c.name,
			t.share(c.found), t.share(c.missed), t.share(c.onTimber), c.warned, bad)
	}
	fmt.Fprintf(&b, "\nCalibration of the adjustment. Found, of %d holes with a stated chance of 0.9 to 1: %.2f %%, "+
		"mean chance %.2f %% ± %.2f.\n",
		t.find.holes, 100*t.find.share(), 100*t.find.given(), 100*t.find.error())
	fmt.Fprintf(&b, "On timber, of all %d: %.2f %%, mean chance %.2f %% ± %.2f.\n",
		t.hit.holes, 100*t.hit.share(), 100*t.hit.given(), 100*t.hit.error())
	fmt.Fprintf(&b, "Missed or on timber without a warning: %d; the stated chances allow %.1f ± %.1f.\n",
		t.unwarned, t.allowed, math.Sqrt(t.allowedVariance))
	return b.String()
}

func (t *tally) share(n int) string {
	return fmt.Sprintf("%d (%.2f %%)", n, 100*float64(n)/float64(t.tails))
}
