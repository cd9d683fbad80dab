package gates_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// history is a room to which random things happen.
type history struct {
	*dbtest.Site
	ctx context.Context
	r   *rand.Rand
	at  *standing.Standing
}

// An act is one thing that can happen. It returns the room afterwards.
type act struct {
	name string
	do   func(*history) (*standing.Standing, error)
}

// place is where a position truly is: fixed by its name, so that readings fit.
func place(name string) (u, v float64) {
	n, _ := strconv.Atoi(name[1:])
	return 300 + float64(n*531%3000), 250 + float64(n*377%1900)
}

// reading is what a tape would read from a datum, in a state or in none.
func (h *history) reading() room.Reading {
	p := one(h.r, h.at.Record.Positions)
	u, v := place(p.Name)
	if h.r.IntN(3) == 0 && len(h.at.Record.Positions) > 1 {
		q := one(h.r, h.at.Record.Positions)
		qu, qv := place(q.Name)
		return room.Reading{Kind: words.Distance, Of: p.ID, ToPosition: q.ID, Value: math.Hypot(u-qu, v-qv)}
	}
	d := one(h.r, h.at.Record.Datums)
	out := room.Reading{Kind: words.Offset, Of: p.ID, From: d.ID, State: one(h.r, []string{"bare", "bare", "bare", ""})}
	if d.Kind == words.Point {
		out.Value = math.Hypot(u-d.A[0], v-d.A[1])
		return out
	}
	l := math.Hypot(d.B[0]-d.A[0], d.B[1]-d.A[1])
	out.Value = math.Abs(((d.B[0]-d.A[0])*(v-d.A[1]) - (d.B[1]-d.A[1])*(u-d.A[0])) / l)
	return out
}

func (h *history) id() id.Room                { return h.at.Record.ID }
func (h *history) position() id.Position      { return one(h.r, h.at.Record.Positions).ID }
func (h *history) wall() id.Datum             { return h.at.Record.Datums[h.r.IntN(4)].ID }
func (h *history) stage() words.Stage         { return one(h.r, words.Stages) }
func (h *history) inHand() words.Stage        { s, _ := h.at.Record.InHand(); return s }
func (h *history) opening() (o id.Opening)    { return oneOrNone(h.r, h.at.Record.Openings).ID }
func (h *history) measured() room.Measurement { return oneOrNone(h.r, h.at.Record.Measurements) }

func oneOrNone[T any](r *rand.Rand, list []T) (t T) {
	if len(list) > 0 {
		t = one(r, list)
	}
	return t
}

// fresh leaves a room as a verdict has it.
func fresh(v *deed.Verdict, err error) (*standing.Standing, error) {
	if err != nil {
		return nil, err
	}
	return v.Standing, nil
}

var acts = []act{
	{"measure", func(h *history) (*standing.Standing, error) {
		return fresh(h.Desk.Verdict(h.ctx, h.Electrician, h.id(), deed.Measure{Reading: h.reading()}))
	}},
	{"measure", func(h *history) (*standing.Standing, error) {
		return fresh(h.Desk.Verdict(h.ctx, h.Electrician, h.id(), deed.Measure{Reading: h.reading()}))
	}},
	{"measure", func(h *history) (*standing.Standing, error) {
		return fresh(h.Desk.Verdict(h.ctx, h.Electrician, h.id(), deed.Measure{Reading: h.reading()}))
	}},
	{"correct", func(h *history) (*standing.Standing, error) {
		m := h.measured()
		return fresh(h.Desk.Verdict(h.ctx, h.Electrician, h.id(),
			deed.Correct{Version: m.Version, Reading: room.Reading{ID: m.ID, Kind: m.Kind, Of: m.Of,
				ToPosition: m.ToPosition,
				From:       m.From, State: one(h.r, []string{"bare", "bare", ""}), Value: m.Value}}))
	}},
	{"strike", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Electrician, h.id(), deed.Strike{Measurement: h.measured().ID, Version: 0, Why: "misread"})
	}},
	{"plan", func(h *history) (*standing.Standing, error) {
		layers := []firm.Layer{{Name: "board", Thickness: 25, Sigma: 5, Stage: words.Boarding},
			{Name: "skim", Thickness: 3, Stage: words.Plaster}}
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Plan{Surface: h.at.Record.Surfaces[0].ID,
			Datums: []id.Datum{h.wall()}, Layers: layers[:h.r.IntN(3)]})
	}},
	{"bare", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.StaysBare{Datum: h.wall(), Stays: h.r.IntN(2) == 0})
	}},
	{"schedule", func(h *history) (*standing.Standing, error) {
		if n := len(h.at.Record.Positions); n < 5 {
			return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Schedule{Surface: h.at.Record.Surfaces[0].ID,
				Reopen:    h.r.IntN(4) > 0,
				Positions: []room.PositionDraft{{Name: fmt.Sprintf("D%d", n+1), Kind: "downlight", Cutout: 76}}})
		}
		return h.at, nil
	}},
	{"omit", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Omit{Position: h.position(), Version: 0, Why: "not wanted"})
	}},
	{"want again", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.WantAgain{Position: h.position(), Version: 0})
	}},
	{"hold", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Hold{Position: h.position(), Version: 0, Why: "not chosen"})
	}},
	{"release", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Release{Position: h.position(), Version: 0})
	}},
	{"see", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Plumber, h.id(), deed.SeeTails{Positions: []id.Position{h.position()}})
	}},
	{"see all", func(h *history) (j *standing.Standing, err error) {
		for _, p := range h.at.Record.Positions {
			if j, err = h.Desk.Do(h.ctx, h.Plumber, h.id(), deed.SeeTails{Positions: []id.Position{p.ID}}); err != nil {
				return j, err
			}
		}
		return j, nil
	}},
	{"put on", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.DryLiner, h.id(),
			deed.PutOn{List: []deed.Coat{{Datum: h.wall(), Through: one(h.r, []string{"board", "skim"}), Thickness: 28,
				By: "rule"}}})
	}},
	{"put on all", (*history).putOnAll},
	{"finish", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Plasterer, h.id(), deed.Finish{Stage: h.inHand(), On: h.Clock.Now()})
	}},
	{"open", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Electrician, h.id(), deed.OpenHole{Hole: deed.Hole{Position: h.position(),
			Outcome:  one(h.r, words.Outcomes),
			OwePatch: h.r.IntN(2) == 0}})
	}},
	{"patch", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Electrician, h.id(), deed.OwePatch{Opening: h.opening()})
	}},
	{"fill", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Decorator, h.id(), deed.FillPatch{Opening: h.opening(), At: time.Time{}, DryUnknown: true})
	}},
	{"dry", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Decorator, h.id(), deed.DryPatch{Opening: h.opening(), At: time.Time{}})
	}},
	{"snag", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Decorator, h.id(), deed.NoteSnag{Snag: room.Snag{Says: "scratch"}})
	}},
	{"close", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.CloseSnag{Snag: oneOrNone(h.r, h.at.Record.Snags).ID})
	}},
	{"reopen", func(h *history) (*standing.Standing, error) {
		if h.r.IntN(6) > 0 {
			return h.at, nil
		}
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Reopen{Stage: h.stage(), Reason: "something is wrong"})
	}},
	{"offer", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Offer{Stage: h.inHand()})
	}},
	{"offer", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Offer{Stage: h.inHand()})
	}},
	{"sign", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.SignOff{Stage: h.stage(),
			Revision: h.at.Record.Revision, Accepted: dbtest.Accept(h.at, h.inHand())})
	}},
	{"sign", func(h *history) (*standing.Standing, error) {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.SignOff{Stage: h.inHand(),
			Revision: h.at.Record.Revision, Accepted: dbtest.Accept(h.at, h.inHand())})
	}},
}

// mend mends a hard obstacle, any one, of the stage in hand, or moves the stage
// on where there is none: without it few histories get anywhere.
func (h *history) mend() (*standing.Standing, error) {
	s, open := h.at.Record.InHand()
	if !open {
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Reopen{Stage: h.stage(), Reason: "something is wrong"})
	}
	all := h.at.Obstacles(s)
	if gate.Hard(all) == 0 {
		if h.at.Record.Gates[s].State == words.Offered {
			return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.SignOff{Stage: s,
				Revision: h.at.Record.Revision, Accepted: dbtest.Accept(h.at, s)})
		}
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Offer{Stage: s})
	}
	hard := all[:gate.Hard(all)] // they come first
	o := one(h.r, hard)
	if h.r.IntN(2) == 0 { // so that each rule is also left as the only one
		o = hard[len(hard)-1]
	}
	about := o.About.ID
	position, _ := id.Parse[id.Position](about)
	switch o.Code {
	case "no_record":
		p, err := h.at.Record.Position(position)
		if err != nil {
			return nil, err
		}
		u, v := place(p.Name)
		if _, err := h.Desk.Verdict(h.ctx, h.Electrician, h.id(),
			deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: p.ID,
				From: h.at.Record.Datums[0].ID, State: "bare", Value: v}}); err != nil {
			return nil, err
		}
		return fresh(h.Desk.Verdict(h.ctx, h.Electrician, h.id(),
			deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: p.ID,
				From: h.at.Record.Datums[3].ID, State: "bare", Value: u}}))
	case "unrecorded_datum":
		measurement, _ := id.Parse[id.Measurement](about)
		return h.Desk.Do(h.ctx, h.Electrician, h.id(), deed.Strike{Measurement: measurement, Version: 0,
			Why: "nobody knows from where"})
	case "no_build_up":
		datum, _ := id.Parse[id.Datum](about)
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.StaysBare{Datum: datum, Stays: true})
	case "tail_not_seen":
		return h.Desk.Do(h.ctx, h.Plumber, h.id(), deed.SeeTails{Positions: []id.Position{position}})
	case "no_finish_date":
		return h.Desk.Do(h.ctx, h.Plasterer, h.id(), deed.Finish{Stage: s, On: h.Clock.Now()})
	case "not_opened":
		return h.Desk.Do(h.ctx, h.Electrician, h.id(),
			deed.OpenHole{Hole: deed.Hole{Position: position, Outcome: words.Found}})
	case "held":
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.Release{Position: position, Version: 0})
	case "lost_hole", "patch_open":
		opening, _ := id.Parse[id.Opening](about)
		if _, err := h.Desk.Do(h.ctx, h.Decorator, h.id(), deed.FillPatch{Opening: opening, At: time.Time{},
			DryUnknown: true}); err != nil {
			return nil, err
		}
		return h.Desk.Do(h.ctx, h.Decorator, h.id(), deed.DryPatch{Opening: opening, At: time.Time{}})
	case "snag_open":
		snag, _ := id.Parse[id.Snag](about)
		return h.Desk.Do(h.ctx, h.Foreman, h.id(), deed.CloseSnag{Snag: snag})
	}
	return h.putOnAll()
}

func (h *history) putOnAll() (j *standing.Standing, err error) {
	j = h.at
	for _, d := range h.at.Record.Datums[:4] {
		for _, l := range h.at.Record.LayersOf(d.Surface, d.ID) {
			if l.Stage == h.inHand() && h.at.Record.BuiltOf(l.ID) == nil {
				if j, err = h.Desk.Do(h.ctx, h.DryLiner, h.id(),
					deed.PutOn{List: []deed.Coat{{Datum: d.ID, Through: l.Name, Thickness: 28, By: "rule"}}}); err != nil {
					return j, err
				}
			}
		}
	}
	return j, nil
}
