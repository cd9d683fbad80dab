package stage_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/stage"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// count is how often a test repeats itself: usual, or what the environment
// says for a long run.
func count(name string, usual int) int {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil && n > 0 {
		return n
	}
	return usual
}

func seed(t *testing.T) *rand.Rand {
	n := uint64(count("LATHMARK_SEED", int(time.Now().UnixNano()%1_000_000)))
	t.Logf("seed %d (LATHMARK_SEED=%d repeats it)", n, n)
	return rand.New(rand.NewPCG(n, 1))
}

func one[T any](r *rand.Rand, list []T) T { return list[r.IntN(len(list))] }

// history is a room to which random things happen.
type history struct {
	*dbtest.Site
	ctx context.Context
	r   *rand.Rand
	at  *room.Judged
}

// An act is one thing that can happen. It gives the room afterwards.
type act struct {
	name string
	do   func(*history) (*room.Judged, error)
}

var walls = []string{"south wall", "east wall", "north wall", "west wall"}

// place is where a position truly is: fixed by its name, so that readings fit.
func place(name string) (u, v float64) {
	n, _ := strconv.Atoi(name[1:])
	return 300 + float64(n*531%3000), 250 + float64(n*377%1900)
}

// reading is what a tape would read from a datum, in a state or in none.
func (h *history) reading() room.Reading {
	p := one(h.r, h.at.Record.Positions)
	u, v := place(p.Name)
	if h.r.IntN(8) == 0 && len(h.at.Record.Positions) > 1 {
		q := one(h.r, h.at.Record.Positions)
		qu, qv := place(q.Name)
		return room.Reading{Kind: gate.Distance, Of: p.ID, ToPosition: q.ID, Value: math.Hypot(u-qu, v-qv)}
	}
	d := one(h.r, h.at.Record.Datums)
	out := room.Reading{Kind: gate.Offset, Of: p.ID, From: d.ID, State: one(h.r, []string{"bare", "bare", "bare", ""})}
	if d.Kind == gate.Point {
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
func (h *history) stage() gate.Stage          { return one(h.r, gate.Stages) }
func (h *history) inHand() gate.Stage         { s, _ := h.at.Record.InHand(); return s }
func (h *history) opening() (o id.Opening)    { return oneOrNone(h.r, h.at.Record.Openings).ID }
func (h *history) measured() room.Measurement { return oneOrNone(h.r, h.at.Record.Measurements) }

func oneOrNone[T any](r *rand.Rand, list []T) (t T) {
	if len(list) > 0 {
		t = one(r, list)
	}
	return t
}

// fresh leaves a room as a verdict has it.
func fresh(v *room.Verdict, err error) (*room.Judged, error) {
	if err != nil {
		return nil, err
	}
	return v.Judged, nil
}

var acts = []act{
	{"measure", func(h *history) (*room.Judged, error) {
		return fresh(h.Room.Measure(h.ctx, h.Electrician, h.id(), h.reading()))
	}},
	{"measure", func(h *history) (*room.Judged, error) {
		return fresh(h.Room.Measure(h.ctx, h.Electrician, h.id(), h.reading()))
	}},
	{"measure", func(h *history) (*room.Judged, error) {
		return fresh(h.Room.Measure(h.ctx, h.Electrician, h.id(), h.reading()))
	}},
	{"correct", func(h *history) (*room.Judged, error) {
		m := h.measured()
		return fresh(h.Room.Correct(h.ctx, h.Electrician, h.id(), m.Version, room.Reading{ID: m.ID, Kind: m.Kind, Of: m.Of, ToPosition: m.ToPosition,
			From: m.From, State: one(h.r, []string{"bare", "bare", ""}), Value: m.Value}))
	}},
	{"strike", func(h *history) (*room.Judged, error) {
		return h.Room.Strike(h.ctx, h.Electrician, h.id(), h.measured().ID, 0, "misread")
	}},
	{"plan", func(h *history) (*room.Judged, error) {
		layers := []firm.Layer{{Name: "board", Thickness: 25, Sigma: 5, Stage: gate.Boarding}, {Name: "skim", Thickness: 3, Stage: gate.Plaster}}
		return h.Room.PlanBuildUp(h.ctx, h.Foreman, h.id(), room.Plan{Surface: h.at.Record.Surfaces[0].ID, Datums: []id.Datum{h.wall()}, Layers: layers[:h.r.IntN(3)]})
	}},
	{"bare", func(h *history) (*room.Judged, error) {
		return h.Room.SetStaysBare(h.ctx, h.Foreman, h.id(), h.wall(), h.r.IntN(2) == 0)
	}},
	{"schedule", func(h *history) (*room.Judged, error) {
		if n := len(h.at.Record.Positions); n < 5 {
			return h.Room.Schedule(h.ctx, h.Foreman, h.id(), h.at.Record.Surfaces[0].ID, []room.PositionDraft{{Name: fmt.Sprintf("D%d", n+1), Kind: "downlight", Cutout: 76}})
		}
		return h.at, nil
	}},
	{"omit", func(h *history) (*room.Judged, error) {
		return h.Room.Omit(h.ctx, h.Foreman, h.id(), h.position(), 0, "not wanted")
	}},
	{"want again", func(h *history) (*room.Judged, error) {
		return h.Room.WantAgain(h.ctx, h.Foreman, h.id(), h.position(), 0)
	}},
	{"hold", func(h *history) (*room.Judged, error) {
		return h.Room.Hold(h.ctx, h.Foreman, h.id(), h.position(), 0, "not chosen")
	}},
	{"release", func(h *history) (*room.Judged, error) {
		return h.Room.Release(h.ctx, h.Foreman, h.id(), h.position(), 0)
	}},
	{"see", func(h *history) (*room.Judged, error) { return h.Stage.SeeTail(h.ctx, h.Plumber, h.id(), h.position()) }},
	{"see all", func(h *history) (j *room.Judged, err error) {
		for _, p := range h.at.Record.Positions {
			if j, err = h.Stage.SeeTail(h.ctx, h.Plumber, h.id(), p.ID); err != nil {
				return j, err
			}
		}
		return j, nil
	}},
	{"put on", func(h *history) (*room.Judged, error) {
		return h.Stage.PutOn(h.ctx, h.DryLiner, h.id(), []stage.PutOn{{Datum: h.wall(), Through: one(h.r, []string{"board", "skim"}), Thickness: 28, By: "rule"}})
	}},
	{"put on all", (*history).putOnAll},
	{"finish", func(h *history) (*room.Judged, error) {
		return h.Stage.Finish(h.ctx, h.Plasterer, h.id(), h.inHand(), h.Clock.Now())
	}},
	{"open", func(h *history) (*room.Judged, error) {
		return h.Stage.Open(h.ctx, h.Electrician, h.id(), stage.Hole{Position: h.position(), Outcome: one(h.r, gate.Outcomes), OwePatch: h.r.IntN(2) == 0})
	}},
	{"patch", func(h *history) (*room.Judged, error) {
		return h.Stage.OwePatch(h.ctx, h.Electrician, h.id(), h.opening())
	}},
	{"fill", func(h *history) (*room.Judged, error) {
		return h.Stage.FillPatch(h.ctx, h.Decorator, h.id(), h.opening(), time.Time{})
	}},
	{"dry", func(h *history) (*room.Judged, error) {
		return h.Stage.DryPatch(h.ctx, h.Decorator, h.id(), h.opening(), time.Time{})
	}},
	{"snag", func(h *history) (*room.Judged, error) {
		return h.Stage.NoteSnag(h.ctx, h.Decorator, h.id(), room.Snag{Says: "scratch"})
	}},
	{"close", func(h *history) (*room.Judged, error) {
		return h.Stage.CloseSnag(h.ctx, h.Decorator, h.id(), oneOrNone(h.r, h.at.Record.Snags).ID)
	}},
	{"reopen", func(h *history) (*room.Judged, error) {
		if h.r.IntN(6) > 0 {
			return h.at, nil
		}
		return h.Stage.Reopen(h.ctx, h.Foreman, h.id(), h.stage(), "something is wrong")
	}},
	{"offer", func(h *history) (*room.Judged, error) { return h.Stage.Offer(h.ctx, h.Foreman, h.id(), h.inHand()) }},
	{"offer", func(h *history) (*room.Judged, error) { return h.Stage.Offer(h.ctx, h.Foreman, h.id(), h.inHand()) }},
	{"sign", func(h *history) (*room.Judged, error) {
		return h.Stage.SignOff(h.ctx, h.Foreman, h.id(), h.stage(), dbtest.Accept(h.at, h.inHand()))
	}},
	{"sign", func(h *history) (*room.Judged, error) {
		return h.Stage.SignOff(h.ctx, h.Foreman, h.id(), h.inHand(), dbtest.Accept(h.at, h.inHand()))
	}},
}

// mend mends the first hard obstacle of the stage in hand, or moves the stage
// on where there is none: without it few histories get anywhere.
func (h *history) mend() (*room.Judged, error) {
	s, open := h.at.Record.InHand()
	if !open {
		return h.Stage.Reopen(h.ctx, h.Foreman, h.id(), h.stage(), "something is wrong")
	}
	all := h.at.Obstacles(s)
	if gate.Hard(all) == 0 {
		if h.at.Record.Gates[s].State == gate.Offered {
			return h.Stage.SignOff(h.ctx, h.Foreman, h.id(), s, dbtest.Accept(h.at, s))
		}
		return h.Stage.Offer(h.ctx, h.Foreman, h.id(), s)
	}
	about := all[0].About.ID
	position, _ := id.Parse[id.Position](about)
	switch all[0].Code {
	case "no_record":
		p, err := h.at.Record.Position(position)
		if err != nil {
			return nil, err
		}
		u, v := place(p.Name)
		if _, err := h.Room.Measure(h.ctx, h.Electrician, h.id(), room.Reading{Kind: gate.Offset, Of: p.ID, From: h.at.Record.Datums[0].ID, State: "bare", Value: v}); err != nil {
			return nil, err
		}
		return fresh(h.Room.Measure(h.ctx, h.Electrician, h.id(), room.Reading{Kind: gate.Offset, Of: p.ID, From: h.at.Record.Datums[3].ID, State: "bare", Value: u}))
	case "unrecorded_datum":
		measurement, _ := id.Parse[id.Measurement](about)
		return h.Room.Strike(h.ctx, h.Electrician, h.id(), measurement, 0, "nobody knows from where")
	case "no_build_up":
		datum, _ := id.Parse[id.Datum](about)
		return h.Room.SetStaysBare(h.ctx, h.Foreman, h.id(), datum, true)
	case "tail_not_seen":
		return h.Stage.SeeTail(h.ctx, h.Plumber, h.id(), position)
	case "no_finish_date":
		return h.Stage.Finish(h.ctx, h.Plasterer, h.id(), s, h.Clock.Now())
	case "not_opened":
		return h.Stage.Open(h.ctx, h.Electrician, h.id(), stage.Hole{Position: position, Outcome: gate.Found})
	case "held":
		return h.Room.Release(h.ctx, h.Foreman, h.id(), position, 0)
	case "lost_hole", "patch_open":
		opening, _ := id.Parse[id.Opening](about)
		if _, err := h.Stage.FillPatch(h.ctx, h.Decorator, h.id(), opening, time.Time{}); err != nil {
			return nil, err
		}
		return h.Stage.DryPatch(h.ctx, h.Decorator, h.id(), opening, time.Time{})
	case "snag_open":
		snag, _ := id.Parse[id.Snag](about)
		return h.Stage.CloseSnag(h.ctx, h.Decorator, h.id(), snag)
	}
	return h.putOnAll()
}

func (h *history) putOnAll() (j *room.Judged, err error) {
	j = h.at
	for _, d := range h.at.Record.Datums[:4] {
		for _, l := range h.at.Record.LayersOf(d.Surface, d.ID) {
			if l.Stage == h.inHand() && h.at.Record.BuiltOf(l.ID) == nil {
				if j, err = h.Stage.PutOn(h.ctx, h.DryLiner, h.id(), []stage.PutOn{{Datum: d.ID, Through: l.Name, Thickness: 28, By: "rule"}}); err != nil {
					return j, err
				}
			}
		}
	}
	return j, nil
}

// A random history of a room: after every act the rules in Go and those in the
// database say the same of every stage, a signed gate meets both, and what was
// refused was refused for a reason a person can read.
func TestGoAndTheDatabaseAgree(t *testing.T) {
	s := dbtest.New(t)
	r := seed(t)
	conn, err := pgx.Connect(t.Context(), s.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	done := map[string]int{}
	signed := map[gate.Stage]int{}
	for range count("LATHMARK_HISTORIES", 3) {
		h := begin(t, s, r)
		for range 120 {
			a := one(r, acts)
			if r.IntN(2) == 0 {
				a = act{"mend", (*history).mend}
			}
			was := h.at.Record.Gates
			after, err := a.do(h)
			if err != nil && fault.KindOf(err) == "" {
				t.Fatalf("%s: %v", a.name, err)
			}
			if err != nil {
				done[a.name+" refused"]++
				continue
			}
			done[a.name]++
			h.at = after
			for _, s := range gate.Stages {
				if was[s].State != gate.SignedOff && after.Record.Gates[s].State == gate.SignedOff {
					signed[s]++
				}
			}
			h.agree(t, conn, a.name)
		}
	}
	t.Logf("acts: %v", done)
	t.Logf("signed off: %v", signed)
	if signed[gate.SecondFix] == 0 {
		t.Error("no history got as far as a signed second fix: the test says little")
	}
}

// begin makes a room of its own with something to measure from that no layer
// covers, and one wall that runs askew.
func begin(t *testing.T, s *dbtest.Site, r *rand.Rand) *history {
	t.Helper()
	h := &history{s, t.Context(), r, s.Utility(t, "D1", "D2")}
	surface := h.at.Record.Surfaces[0].ID
	for _, d := range []room.Datum{
		{Surface: surface, Name: "flange", Kind: gate.Line, A: roomsheet.Point{0, 1500}, B: roomsheet.Point{3600, 1500}},
		{Surface: surface, Name: "stack", Kind: gate.Point, A: roomsheet.Point{3300, 2100}},
		{Surface: surface, Name: "splay", Kind: gate.Line, A: roomsheet.Point{0, 0}, B: roomsheet.Point{3600, 150}},
	} {
		var err error
		if h.at, err = s.Room.AddDatum(h.ctx, s.Foreman, h.id(), d); err != nil {
			t.Fatal(err)
		}
	}
	return h
}

// agree compares the rules in Go with those in the database.
func (h *history) agree(t *testing.T, conn *pgx.Conn, name string) {
	t.Helper()
	now := h.at.Now
	for _, s := range gate.Stages {
		var broken *string
		if err := conn.QueryRow(h.ctx, "select hard_rule($1, $2, $3, $4)", h.Owner.Firm, h.id(), s.Code(), now).Scan(&broken); err != nil {
			t.Fatal(err)
		}
		var hard []gate.Obstacle
		mirrors := false // a straight distance, of which the database asks less
		for _, o := range h.at.Obstacles(s) {
			if o.Hard && o.Code != "stage_before" {
				hard = append(hard, o)
				mirrors = mirrors || o.Code == "no_record" && h.straight(o.About.ID)
			}
		}
		if (broken != nil) != (len(hard) > 0) && !(broken == nil && mirrors) {
			says := "nothing"
			if broken != nil {
				says = *broken
			}
			t.Fatalf("after %s, %s: the database says %s; Go says %+v", name, s, says, hard)
		}
		if h.at.Record.Gates[s].State == gate.SignedOff && len(hard) > 0 {
			t.Fatalf("after %s, %s is signed off and has %+v", name, s, hard)
		}
	}
}

// straight tells whether a position has a straight distance among its readings.
func (h *history) straight(position string) bool {
	for _, m := range h.at.Record.Measurements {
		d, err := h.at.Record.Datum(m.From)
		point := err == nil && d.Kind == gate.Point
		if m.Stands() && (m.Kind == gate.Distance || point) && (m.Of.String() == position || m.ToPosition.String() == position) {
			return true
		}
	}
	return false
}
