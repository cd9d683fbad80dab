package gate

import (
	"lathmark/domain/words"
	"time"
)

// Rule is one line of the gates table.
type Rule struct {
	Stage words.Stage
	Hard  bool
	Code  string
	// Says is the line as the trade says it; it names what is wrong.
	Says string
	// Check returns an obstacle per record that does not meet the rule. It
	// fills in About, Wrong, Mend, Trade and Surface only.
	Check func(r *Record, now time.Time) []Obstacle
}

const (
	hard = true
	soft = false
)

// Obstacles returns every rule of stage s that the record does not meet, hard
// ones first, each kind in the order of the table and of the record. It does
// not matter what state the gate is in.
func Obstacles(r *Record, s words.Stage, now time.Time) []Obstacle {
	var out []Obstacle
	for _, h := range []bool{hard, soft} {
		for _, rule := range Rules {
			if rule.Stage != s || rule.Hard != h {
				continue
			}
			for _, o := range rule.Check(r, now) {
				o.Code, o.Stage, o.Hard = rule.Code, s, h
				out = append(out, o)
			}
		}
	}
	return out
}

// Hard counts the hard obstacles among those given.
func Hard(obstacles []Obstacle) int {
	n := 0
	for _, o := range obstacles {
		if o.Hard {
			n++
		}
	}
	return n
}
