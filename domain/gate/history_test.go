package gate

import (
	"fmt"
	"lathmark/domain/words"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// history is a room as people change it: parts that are frozen refuse, a new
// position reopens first fix, and a stand-in for the geometry takes two
// offsets with their states as a determinate record and four as a checked one.
type history struct {
	*Record
	now  time.Time
	next int
}

func (h *history) id(prefix string) string { h.next++; return fmt.Sprintf("%s%d", prefix, h.next) }

// judge stands in for the geometry.
func (h *history) judge() {
	for i := range h.Positions {
		p := &h.Positions[i]
		n := 0
		for _, m := range h.Measurements {
			if m.Position == p.ID && len(m.Ends) == 1 && m.Ends[0].State != "" {
				n++
			}
		}
		p.Determinate, p.Checked = n >= 2, n >= 4
	}
}

func (h *history) change(t *rapid.T) {
	free := func(p Part) bool { return !Frozen(h.Gates, p) }
	position := func() *Position {
		if len(h.Positions) == 0 {
			return nil
		}
		return &h.Positions[rapid.IntRange(0, len(h.Positions)-1).Draw(t, "position")]
	}
	opening := func() *Opening {
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
			h.Positions = append(h.Positions, Position{ID: PositionID(h.id("D")), Surface: "c", AddedAt: h.now})
		}
	case 1:
		if p := position(); p != nil && free(PartMeasurement) {
			m := Measurement{ID: MeasurementID(h.id("m")), Kind: words.Offset, Position: p.ID,
				Ends: []End{{rapid.SampledFrom([]DatumID{"s", "w", "f"}).Draw(t, "datum"), "bare"}}}
			if rapid.IntRange(0, 5).Draw(t, "forgot") == 0 {
				m.Ends[0].State = ""
			}
			h.Measurements = append(h.Measurements, m)
		}
	case 2:
		if free(PartMeasurement) && len(h.Measurements) > 0 {
			h.Measurements[len(h.Measurements)-1].Ends[0].State = "bare"
		}
	case 3:
		if free(PartDatum) {
			h.Datums[1].StaysBare = yes.Draw(t, "stays bare")
		}
	case 4:
		if p := position(); p != nil && free(PartTail) {
			p.SeenFree = h.now
		}
	case 5:
		if free(PartBoards) {
			h.Datums[0].Layers[0].AsBuilt = yes.Draw(t, "boards")
		}
	case 6:
		if free(PartCoats) {
			h.Datums[0].Layers[1].AsBuilt, h.PlasterFinished = yes.Draw(t, "coats"), h.now
		}
	case 7, 8:
		if p := position(); p != nil && free(PartOpening) && h.Gates[words.SecondFix].State != words.Waiting {
			h.Openings = append(h.Openings, Opening{ID: OpeningID(h.id("o")), Position: p.ID, At: h.now,
				Outcome: rapid.SampledFrom([]words.Outcome{"", words.Found, words.HookedOut, words.NotFound,
					words.OnTimber}).Draw(t, "outcome")})
		}
	case 9:
		if o := opening(); o != nil && free(PartOpening) {
			if o.Outcome == "" {
				o.Outcome = words.Found
			}
			o.Patch = &Patch{}
		}
	case 10:
		if o := opening(); o != nil && o.Patch != nil && free(PartPatch) {
			o.Patch.FilledAt, o.Patch.DryAt = h.now, h.now.Add(24*time.Hour)
		}
	case 11:
		if p := position(); p != nil && free(PartHold) {
			p.Held = yes.Draw(t, "held")
		}
	case 12:
		if p := position(); p != nil && free(PartHold) {
			if wanted := yes.Draw(t, "wanted again"); wanted && p.Omitted() {
				p.OmittedAt, p.AddedAt = time.Time{}, h.now
				h.Gates, _ = AddPosition(h.Gates)
			} else if !wanted {
				p.OmittedAt = h.now
			}
		}
	case 13:
		if free(PartSnag) {
			h.Snags = append(h.Snags, Snag{ID: SnagID(h.id("g"))})
			if yes.Draw(t, "closed") {
				h.Snags[len(h.Snags)-1].Closed = h.now
			}
		}
	}
	h.judge()
}

// finish mends what a random walk would hardly ever mend by itself, so that
// the late stages are reached too; only within what is not frozen.
func (h *history) finish() {
	s, open := Current(h.Gates)
	if !open {
		return
	}
	for _, o := range Judge(h.Record, h.now).Obstacles(s) {
		p := h.position(PositionID(o.About.ID))
		switch o.Code {
		case "no_record":
			h.Measurements = append(h.Measurements, Measurement{ID: MeasurementID(h.id("m")), Kind: words.Offset, Position: p.ID,
				Ends: []End{{"w", "bare"}}})
		case "unrecorded_datum":
			for i := range h.Measurements {
				h.Measurements[i].Ends[0].State = "bare"
			}
		case "no_build_up":
			h.Datums[1].StaysBare = true
		case "tail_not_seen":
			p.SeenFree = h.now
		case "not_as_built":
			h.Datums[0].Layers[0].AsBuilt = true
			h.Datums[0].Layers[1].AsBuilt = s == words.Plaster
		case "no_finish_date":
			h.PlasterFinished = h.now
		case "held":
			p.Held = false
		case "not_opened":
			h.Openings = append(h.Openings, Opening{ID: OpeningID(h.id("o")), Position: p.ID, At: h.now, Outcome: words.Found})
		case "no_outcome", "lost_hole", "patch_open":
			for i := range h.Openings {
				if oo := &h.Openings[i]; string(oo.ID) == o.About.ID && oo.Outcome == "" {
					oo.Outcome = words.Found
				} else if string(oo.ID) == o.About.ID {
					oo.Patch = &Patch{h.now, h.now}
				}
			}
		case "snag_open":
			h.Snags = nil
		}
	}
	h.judge()
}

func (h *history) act(t *rapid.T) (signed words.Stage, did bool) {
	s := words.Stage(rapid.IntRange(0, 4).Draw(t, "stage"))
	if current, open := Current(h.Gates); open && rapid.IntRange(0, 4).Draw(t, "on") > 0 {
		s = current
	}
	var accepted []Acceptance
	for _, o := range Judge(h.Record, h.now).Obstacles(s) {
		if rapid.IntRange(0, 5).Draw(t, "accept") > 0 {
			accepted = append(accepted, Acceptance{Code: o.Code, About: o.About, Reason: "it will do"})
		}
	}
	switch rapid.IntRange(0, 6).Draw(t, "act") {
	case 0, 1, 2:
		h.Gates, _ = Offer(h.Gates, s)
	case 3, 4, 5:
		g, err := Judge(h.Record, h.now).SignOff(s, accepted, "MK")
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
func (h *history) checkTasks(t *rapid.T, s words.Stage) {
	listed := map[About]bool{}
	for _, trade := range words.Trades {
		for _, task := range Judge(h.Record, h.now).Tasks(trade) {
			listed[task.About] = true
		}
	}
	for _, o := range Judge(h.Record, h.now).Obstacles(s) {
		if !listed[o.About] {
			t.Fatalf("on nobody's list: %s", o.Sentence(h.Room))
		}
	}
	if who := Judge(h.Record, h.now).WhoNext(); len(Judge(h.Record, h.now).Tasks(who)) == 0 {
		t.Fatalf("%s is next and has nothing to do: %+v", who, h.Gates)
	}
}

// Law of SignOff and of the freezing: whatever people do and in whatever
// order, a signed gate never has a hard obstacle, and the stages stand in
// order: signed ones first, at most one in hand or offered, the rest waiting.
func TestLawNoSignedGateHasAHardObstacle(t *testing.T) {
	signings := [5]int{}
	rapid.Check(t, func(t *rapid.T) {
		r := &Record{Room: "Attic", Gates: NewGates(), Surfaces: []Surface{{ID: "c"}}, Datums: []Datum{
			{ID: "s", Kind: words.Face, Layers: []Layer{{ID: "b", Stage: words.Boarding}, {ID: "k", Stage: words.Plaster}}},
			{ID: "w", Kind: words.Face}, {ID: "f", Kind: words.Line}}}
		h := &history{Record: r, now: day(0)}
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
	current, open := Current(h.Gates)
	if open {
		h.checkTasks(t, current)
	}
	for _, s := range words.Stages {
		is := h.Gates[s].State
		if is == words.SignedOff {
			for _, o := range Judge(h.Record, h.now).Obstacles(s) {
				if o.Hard {
					t.Fatalf("signed off with %s", o.Sentence(h.Room))
				}
			}
		}
		if open && (s < current && is != words.SignedOff || s == current && is == words.Waiting || s > current &&
			is != words.Waiting) {
			t.Fatalf("out of order: %+v", h.Gates)
		}
	}
}
