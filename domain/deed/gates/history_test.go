package gates_test

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
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
	signed := map[words.Stage]int{}
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
			for _, s := range words.Stages {
				if was[s].State != words.SignedOff && after.Record.Gates[s].State == words.SignedOff {
					signed[s]++
				}
			}
			h.agree(t, conn, a.name)
		}
	}
	s.Holds(t)
	t.Logf("acts: %v", done)
	t.Logf("signed off: %v", signed)
	if signed[words.SecondFix] == 0 {
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
		{Surface: surface, Name: "flange", Kind: words.Line, A: roomsheet.Point{0, 1500}, B: roomsheet.Point{3600, 1500}},
		{Surface: surface, Name: "stack", Kind: words.Point, A: roomsheet.Point{3300, 2100}},
		{Surface: surface, Name: "splay", Kind: words.Line, A: roomsheet.Point{0, 0}, B: roomsheet.Point{3600, 150}},
	} {
		var err error
		if h.at, err = s.Desk.Do(h.ctx, s.Foreman, h.id(), deed.AddDatum{Datum: d}); err != nil {
			t.Fatal(err)
		}
	}
	return h
}

// agree compares the rules in Go with those in the database.
func (h *history) agree(t *testing.T, conn *pgx.Conn, name string) {
	t.Helper()
	now := h.at.Now
	for _, s := range words.Stages {
		var broken *string
		if err := conn.QueryRow(h.ctx, "select (hard_rule($1, $2, $3, $4)).rule", h.Owner.Firm, h.id(), s.Code(),
			now).Scan(&broken); err != nil {
			t.Fatal(err)
		}
		var hard []gate.Obstacle
		for _, o := range h.at.Obstacles(s) {
			if o.Hard && o.Code != "stage_before" {
				hard = append(hard, o)
			}
		}
		if (broken != nil) != (len(hard) > 0) {
			says := "nothing"
			if broken != nil {
				says = *broken
			}
			t.Fatalf("after %s, %s: the database says %s; Go says %+v", name, s, says, hard)
		}
		if h.at.Record.Gates[s].State == words.SignedOff && len(hard) > 0 {
			t.Fatalf("after %s, %s is signed off and has %+v", name, s, hard)
		}
	}
}
