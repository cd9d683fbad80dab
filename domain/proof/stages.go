package proof

import (
	"slices"

	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// stages asks every stage that stands signed its hard rules, as of the time of its
// sign-off, and compares what it rests on with what was signed.
func (c *check) stages(r *room.Record, signed []room.SignOff) {
	var before *standing.Standing
	said := map[string]bool{}
	for _, s := range words.Stages {
		g := &r.Gates[s]
		if g.State != words.SignedOff {
			continue
		}
		i := slices.IndexFunc(signed, func(x room.SignOff) bool { return x.ID == g.SignOff })
		if i < 0 {
			c.found(0, "%s is signed off, and its sign-off is gone", s)
			continue
		}
		own := *r
		j, err := standing.After(before, &own, signed[i].At)
		if err != nil {
			c.found(0, "%s is signed off, and the room cannot be worked out: %s", s, err)
			return
		}
		before = j
		for _, o := range j.Obstacles(s) {
			if o.Hard {
				c.found(0, "%s is signed off, and could not be: %s", s, o.Wrong)
			}
		}
		c.evidence(r, &signed[i], said)
	}
}
