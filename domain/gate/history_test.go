package gate

import (
	"fmt"
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"

	"pgregory.net/rapid"
)

// history is a room as people change it: parts that are frozen refuse, a new
// position reopens first fix, and a stand-in for the geometry takes two
// offsets with their states as a determinate record and four as a checked one.
type history struct {
	*sample
	now  time.Time
	next int
}

func fresh[T ~[16]byte](h *history, prefix string) T {
	h.next++
	return ref[T](fmt.Sprintf("%s%d", prefix, h.next))
}

// builtIs says whether layer k is recorded as put on.
func (h *history) builtIs(k int, is bool) {
	h.Record.Built = room.Drop(h.Record.Built, h.Layers[k].ID)
	if is {
		h.Record.Built = room.Put(h.Record.Built, room.AsBuilt{Layer: h.Layers[k].ID})
	}
}

// answer stands in for the geometry.
func (h *history) answer() {
	for i := range h.Positions {
		n := 0
		for _, m := range h.Measurements {
			if m.Of == h.Positions[i].ID && m.State != "" {
				n++
			}
		}
		h.says(i).Determinate, h.says(i).Checked = n >= 2, n >= 4
	}
}

func (h *history) change(t *rapid.T) {
	free := func(p Part) bool { return !Frozen(h.Gates, p) }
	position := func() *room.Position {
		if len(h.Positions) == 0 {
			return nil
		}
		return &h.Positions[rapid.IntRange(0, len(h.Positions)-1).Draw(t, "position")]
	}
	opening := func() *room.Opening {
		if len(h.Openings) == 0 {
			return nil
		}
		return &h.Openings[rapid.IntRange(0, len(h.Openings)-1).Draw(t, "opening")]
	}
	yes := rapid.Bool()
	switch rapid.IntRange(0, 13).Draw(t, "change") {
	case 0: // rarely, or no room is ever finished
		if rapid.IntRange(0, 3).Draw(t, "one more") == 0 {
			h.Gates, _ = AddPosition(h.Gates)
			h.Positions = append(h.Positions, room.Position{ID: fresh[id.Position](h, "D"),
				Surface: h.Surfaces[0].ID, AddedAt: h.now})
		}
	case 1:
		if p := position(); p != nil && free(PartMeasurement) {
			m := room.Measurement{ID: fresh[id.Measurement](h, "m"), Kind: words.Offset, Of: p.ID,
				From: h.Datums[rapid.IntRange(0, 2).Draw(t, "datum")].ID, State: "bare"}
			if rapid.IntRange(0, 5).Draw(t, "forgot") == 0 {
				m.State = ""
			}
			h.Measurements = append(h.Measurements, m)
		}
	case 2:
		if free(PartMeasurement) && len(h.Measurements) > 0 {
			h.Measurements[len(h.Measurements)-1].State = "bare"
		}
	case 3:
		if free(PartDatum) {
			h.Datums[1].StaysBare = yes.Draw(t, "stays bare")
		}
	case 4:
		if p := position(); p != nil && free(PartTail) {
			h.Seen = room.Put(h.Seen, room.TailSeen{Position: p.ID, At: h.now})
		}
	case 5:
		if free(PartBoards) {
			h.builtIs(0, yes.Draw(t, "boards"))
		}
	case 6:
		if free(PartCoats) {
			h.builtIs(1, yes.Draw(t, "coats"))
			h.finished(h.now)
		}
	case 7, 8:
		if p := position(); p != nil && free(PartOpening) && h.Gates[words.SecondFix].State != words.Waiting {
			h.Openings = append(h.Openings, room.Opening{ID: fresh[id.Opening](h, "o"), Position: p.ID, At: h.now,
				Outcome: rapid.SampledFrom([]words.Outcome{"", words.Found, words.HookedOut, words.NotFound,
					words.OnTimber}).Draw(t, "outcome")})
		}
	case 9:
		if o := opening(); o != nil && free(PartOpening) {
			if o.Outcome == "" {
				o.Outcome = words.Found
			}
			h.Patches = room.Put(h.Patches, room.Patch{Opening: o.ID})
		}
	case 10:
		if o := opening(); o != nil && h.PatchOf(o.ID) != nil && free(PartPatch) {
			*h.PatchOf(o.ID) = room.Patch{Opening: o.ID, FilledAt: h.now, DryAt: h.now.Add(24 * time.Hour)}
		}
	case 11:
		if p := position(); p != nil && free(PartHold) {
			p.Held = yes.Draw(t, "held")
		}
	case 12:
		if p := position(); p != nil && free(PartHold) {
			if wanted := yes.Draw(t, "wanted again"); wanted && !p.OmittedAt.IsZero() {
				p.OmittedAt, p.AddedAt = time.Time{}, h.now
				h.Gates, _ = AddPosition(h.Gates)
			} else if !wanted {
				p.OmittedAt = h.now
			}
		}
	case 13:
		if free(PartSnag) {
			h.Snags = append(h.Snags, room.Snag{ID: fresh[id.Snag](h, "g")})
			if yes.Draw(t, "closed") {
				h.Snags[len(h.Snags)-1].ClosedAt = h.now
			}
		}
	}
	h.answer()
}

// finish mends what a random walk would hardly ever mend by itself, so that
// the late stages are reached too; only within what is not frozen.
func (h *history) finish() {
	s, open := h.InHand()
	if !open {
		return
	}
	for _, o := range judge(h.sample, h.now).Obstacles(s) {
		p := &room.Position{}
		if of, err := id.Parse[id.Position](o.About.ID); err == nil {
			if found, err := h.Record.Position(of); err == nil {
				p = found
			}
		}
		switch o.Code {
		case "no_record":
			h.Measurements = append(h.Measurements, room.Measurement{ID: fresh[id.Measurement](h, "m"),
				Kind: words.Offset, Of: p.ID, From: h.Datums[1].ID, State: "bare"})
		case "unrecorded_datum":
			for i := range h.Measurements {
				h.Measurements[i].State = "bare"
			}
		case "no_build_up":
			h.Datums[1].StaysBare = true
		case "tail_not_seen":
			h.Seen = room.Put(h.Seen, room.TailSeen{Position: p.ID, At: h.now})
		case "not_as_built":
			h.builtIs(0, true)
			h.builtIs(1, s == words.Plaster)
		case "no_finish_date":
			h.finished(h.now)
		case "held":
			p.Held = false
		case "not_opened":
			h.Openings = append(h.Openings, room.Opening{ID: fresh[id.Opening](h, "o"), Position: p.ID, At: h.now,
				Outcome: words.Found})
		case "no_outcome", "lost_hole", "patch_open":
			for i := range h.Openings {
				if oo := &h.Openings[i]; oo.ID.String() == o.About.ID && oo.Outcome == "" {
					oo.Outcome = words.Found
				} else if oo.ID.String() == o.About.ID {
					h.Patches = room.Put(h.Patches, room.Patch{Opening: oo.ID, FilledAt: h.now, DryAt: h.now})
				}
			}
		case "snag_open":
			h.Snags = nil
		}
	}
	h.answer()
}

func (h *history) act(t *rapid.T) (signed words.Stage, did bool) {
	s := words.Stage(rapid.IntRange(0, 4).Draw(t, "stage"))
	if current, open := h.InHand(); open && rapid.IntRange(0, 4).Draw(t, "on") > 0 {
		s = current
	}
	var accepted []Acceptance
	for _, o := range judge(h.sample, h.now).Obstacles(s) {
		if rapid.IntRange(0, 5).Draw(t, "accept") > 0 {
			accepted = append(accepted, Acceptance{Code: o.Code, About: o.About, Reason: "it will do"})
		}
	}
	switch rapid.IntRange(0, 6).Draw(t, "act") {
	case 0, 1, 2:
		h.Gates, _ = Offer(h.Gates, s)
	case 3, 4, 5:
		g, err := judge(h.sample, h.now).SignOff(s, accepted, "MK")
		h.Gates = g
		return s, err == nil
	case 6:
		if rapid.IntRange(0, 5).Draw(t, "sure") == 0 {
			h.Gates, _ = Reopen(h.Gates, s, "looked at again")
		}
	}
	return s, false
}

// Law of Tasks: what stands in the way of the current stage is on somebody's
// list, and whoever is next has something on it. The room never waits for
// nobody.
func (h *history) checkTasks(t *rapid.T, j *Judged, s words.Stage) {
	listed := map[About]bool{}
	for _, trade := range words.Trades {
		for _, task := range j.Tasks(trade) {
			listed[task.About] = true
		}
	}
	for _, o := range j.Obstacles(s) {
		if !listed[o.About] {
			t.Fatalf("on nobody's list: %s", o.Sentence(h.Name))
		}
	}
	if who := j.WhoNext(); len(j.Tasks(who)) == 0 {
		t.Fatalf("%s is next and has nothing to do: %+v", who, h.Gates)
	}
}

// Law of SignOff and of the freezing: whatever people do and in whatever
// order, a signed gate never has a hard obstacle, and the stages stand in
// order: signed ones first, at most one in hand or offered, the rest waiting.
func TestLawNoSignedGateHasAHardObstacle(t *testing.T) {
	signings := [5]int{}
	rapid.Check(t, func(t *rapid.T) {
		r, d := newSample("Attic", newGates()), done()
		r.Surfaces, r.Datums, r.Layers = d.Surfaces, d.Datums, d.Layers
		r.Datums[1].StaysBare = false
		h := &history{sample: r, now: day(0)}
		for range rapid.IntRange(20, 120).Draw(t, "steps") {
			h.now = h.now.Add(time.Hour)
			switch rapid.IntRange(0, 4).Draw(t, "step") {
			case 0, 1:
				h.change(t)
			case 2:
				h.finish()
			default:
				if s, did := h.act(t); did {
					signings[s]++
				}
			}
			h.check(t)
		}
	})
	for _, s := range words.Stages {
		if signings[s] == 0 {
			t.Errorf("no history reached the sign-off of %s", s)
		}
	}
	t.Logf("signed off: %v", signings)
}

func (h *history) check(t *rapid.T) {
	current, open := h.InHand()
	j := judge(h.sample, h.now)
	if open {
		h.checkTasks(t, j, current)
	}
	for _, s := range words.Stages {
		is := h.Gates[s].State
		if is == words.SignedOff {
			for _, o := range j.Obstacles(s) {
				if o.Hard {
					t.Fatalf("signed off with %s", o.Sentence(h.Name))
				}
			}
		}
		if open && (s < current && is != words.SignedOff || s == current && is == words.Waiting || s > current &&
			is != words.Waiting) {
			t.Fatalf("out of order: %+v", h.Gates)
		}
	}
}
