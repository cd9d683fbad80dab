package programme

import (
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// anyFirm is a firm by chance: its jobs, rooms, crews, days off, pins and ways through.
func anyFirm(t *testing.T, r *rapid.T) *house {
	h := newHouse(t)
	h.Schedules, h.Draws, h.Seed = 10, 20, rapid.Uint64().Draw(r, "seed")
	h.Now = monday.Add(time.Duration(rapid.IntRange(0, 24*14).Draw(r, "hours")) * time.Hour)
	if rapid.Bool().Draw(r, "england") {
		h.Region, h.Holidays = England, Holidays(England)
	}
	for range rapid.IntRange(0, 5).Draw(r, "crews") {
		trade := rapid.SampledFrom(words.Trades[1:8]).Draw(r, "trade")
		h.crew(trade, "Crew", rapid.IntRange(1, 3).Draw(r, "people"))
		c := &h.Crews[len(h.Crews)-1]
		if rapid.Bool().Draw(r, "own week") {
			c.Week = [7]bool{time.Saturday: true, time.Monday: true, time.Thursday: true}
		}
		if from := monday.AddDate(0, 0, rapid.IntRange(-3, 30).Draw(r, "away")).Truncate(24 * time.Hour); rapid.Bool().Draw(r,
			"is away") {
			h.Away = append(h.Away, Away{Crew: c.ID, From: from, To: from.AddDate(0, 0, rapid.IntRange(0, 9).Draw(r, "days"))})
		}
	}
	for range rapid.IntRange(1, 3).Draw(r, "jobs") {
		h.anyJob(r)
	}
	for range rapid.IntRange(0, 2).Draw(r, "pins") {
		at := h.Rooms[rapid.IntRange(0, len(h.Rooms)-1).Draw(r, "pinned")].Record
		s := rapid.SampledFrom(words.Stages).Draw(r, "stage")
		for _, a := range amountsOf(h.stand(at), s, false) {
			h.Pins = append(h.Pins, Pin{Piece: a.Piece, On: monday.AddDate(0, 0, rapid.IntRange(0, 40).Draw(r, "on")).
				Truncate(24 * time.Hour)})
		}
	}
	return h
}

func (h *house) anyJob(r *rapid.T) {
	job := nth[id.Job](h)
	var last *room.Record
	for range rapid.IntRange(1, 3).Draw(r, "rooms") {
		at := h.room(job, "House", "Room", rapid.SampledFrom(words.Stages).Draw(r, "in"),
			rapid.IntRange(0, 8).Draw(r, "downlights"))
		if last != nil && rapid.Bool().Draw(r, "through") {
			h.Through = append(h.Through, Through{at.ID, last.ID})
		}
		last = at
	}
	h.Promises = append(h.Promises, Promise{ID: nth[id.Promise](h), Job: job, To: words.Client, Stage: words.Decoration,
		On: monday.AddDate(0, 0, rapid.IntRange(1, 60).Draw(r, "promised")).Truncate(24 * time.Hour)})
}

// Laws of every programme: the same input returns the same; what waits comes after what it
// waits for, dry; no crew is in two places, or at work on a day off; pins are kept where
// nothing stands in their way.
func TestEveryProgrammeKeepsWhatItMust(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		h := anyFirm(t, r)
		p, err := newPlan(&h.Input)
		if err == nil {
			err = p.arrange(h.Schedules)
		}
		if err != nil {
			r.Fatal(err)
		}
		keepsOrder(r, p)
		keepsCrews(r, p)
		keepsPins(r, p)
		first, second := h.make(), h.make()
		if d := cmp.Diff(first, second, cmpopts.IgnoreUnexported(Programme{})); d != "" {
			r.Fatalf("the same input gives another programme:\n%s", d)
		}
		keepsDates(r, h, first)
		h.Before = first
		if again := h.make(); len(again.Moved) > 0 {
			r.Fatalf("nothing changed, and %+v", again.Moved[0])
		}
	})
}

func keepsOrder(r *rapid.T, p *plan) {
	for i := range p.pieces {
		w := &p.pieces[i]
		start := int(p.likely.start[i])
		for _, a := range w.after {
			end := int(p.likely.end[a.on])
			if start < end+a.lag {
				r.Fatalf("%v starts in slot %d, %v before it ends in %d", w.Piece, start, p.pieces[a.on].Piece, end)
			}
			if dry := p.cal.last(end).AddDate(0, 0, a.usual); a.usual > 0 && p.cal.day(start).Before(dry) {
				r.Fatalf("%v starts on %s, what it stands on is dry on %s", w.Piece, p.cal.day(start), dry)
			}
		}
		for _, h := range w.holds {
			if day := p.today.AddDate(0, 0, h.usual); p.cal.day(start).Before(day) {
				r.Fatalf("%v starts on %s, it is held until %s", w.Piece, p.cal.day(start), day)
			}
		}
		if early := p.early.start[i]; int(early) > start || p.early.end[i] > p.likely.end[i] {
			r.Fatalf("%v starts in slot %d, at the earliest in %d", w.Piece, start, early)
		}
	}
}

// keepsCrews counts each crew's slots one by one.
func keepsCrews(r *rapid.T, p *plan) {
	for c := range p.crews {
		busy := map[int]int{}
		for i := range p.pieces {
			if p.pieces[i].crew != c {
				continue
			}
			worked := 0
			for slot := int(p.likely.start[i]); slot < int(p.likely.end[i]); slot++ {
				if !p.days.works(&p.crews[c], p.cal.day(slot)) {
					continue
				}
				worked++
				if busy[slot]++; busy[slot] > 1 {
					r.Fatalf("%v is in two places in slot %d", p.crews[c], slot)
				}
			}
			if worked != p.pieces[i].likely {
				r.Fatalf("%v takes %d slots, and %d are worked", p.pieces[i].Piece, p.pieces[i].likely, worked)
			}
		}
	}
}

// keepsPins tries each pin of a piece that waits for nothing and whose crew has no other.
func keepsPins(r *rapid.T, p *plan) {
	for i := range p.pieces {
		w := &p.pieces[i]
		if w.pin >= 0 && int(p.likely.start[i]) < w.pin {
			r.Fatalf("%v is pinned to slot %d and starts in %d", w.Piece, w.pin, p.likely.start[i])
		}
		others := slices.ContainsFunc(p.pieces, func(o piece) bool { return o.pin >= 0 && o.Piece != w.Piece })
		if w.pin < 0 || len(w.after)+len(w.holds) > 0 || others {
			continue
		}
		if start, _ := p.free[w.crew].do(int32(w.pin), 1); p.likely.start[i] != start {
			r.Fatalf("%v is pinned to slot %d and starts in %d", w.Piece, w.pin, p.likely.start[i])
		}
	}
}

// keepsDates tries what a programme says of stages and visits.
func keepsDates(r *rapid.T, h *house, p *Programme) {
	for i := range p.Rooms {
		for s := range p.Rooms[i].Stages {
			st, g := &p.Rooms[i].Stages[s], h.Rooms[i].Record.Gates[s]
			if st.SignedOff != (g.State == words.SignedOff) || st.SignedOff && !st.Likely.Equal(h.Zone.Day(g.SignedAt)) {
				r.Fatalf("%s of %s is signed off and moves: %+v", words.Stage(s), p.Rooms[i].Name, st)
			}
			if st.Likely.Before(st.Earliest) || st.In80.Before(st.In50) || st.In95.Before(st.In80) || st.Critical > 1 {
				r.Fatalf("%s of %s: %+v", words.Stage(s), p.Rooms[i].Name, st)
			}
		}
	}
	keys := map[string]bool{}
	for _, v := range p.Visits {
		if keys[v.Key] || v.To.Before(v.From) || len(v.Pieces) == 0 || v.From.Before(p.Today) ||
			slices.ContainsFunc(p.Off, v.From.Equal) {
			r.Fatalf("%+v", v)
		}
		keys[v.Key] = true
	}
}
