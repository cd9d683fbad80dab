package visit_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/visit"
	"lathmark/domain/words"
)

// chance returns a source and prints its seed, which LATHMARK_SEED sets.
func chance(t *testing.T) *rand.Rand {
	t.Helper()
	seed := uint64(time.Now().UnixNano()) //nolint:gosec // any number will do
	if given, err := strconv.ParseUint(os.Getenv("LATHMARK_SEED"), 10, 64); err == nil {
		seed = given
	}
	t.Logf("LATHMARK_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

// The same batch is sent by twelve at once, as by a phone whose answers are
// lost: every record is there once, and all are told the same.
func TestTheSameBatchTwelveTimesAtOnce(t *testing.T) {
	s := at(t, words.FirstFix)
	s.taken(s.offset(0, "south wall", 612)) // by the electrician, unknown to the plumber
	var acts []visit.Act
	for i := range 4 {
		acts = append(acts, s.act(s.offset(i%2, []string{"south wall", "west wall"}[i/2], float64(600+i))))
	}
	acts = append(acts, s.act(visit.NoteSnag{Snag: room.Snag{ID: id.New[id.Snag](), Says: "the sill is loose"}}),
		s.act(visit.Strike{Measurement: id.New[id.Measurement](), Why: "there is none"}))
	for i := range acts {
		acts[i].Copy = 0
	}
	told := make([][]visit.Answer, 12)
	var wait sync.WaitGroup
	for n := range told {
		wait.Go(func() {
			for _, a := range acts {
				got, err := s.Visit.Take(t.Context(), s.Plumber, a)
				if err != nil {
					t.Error(err)
				}
				told[n] = append(told[n], got)
			}
		})
	}
	wait.Wait()
	for n := range told {
		for i := range told[n] {
			if a, b := told[n][i], told[0][i]; a.Word != b.Word || a.Says != b.Says || a.Mine != b.Mine {
				t.Errorf("act %d: %+v and %+v", i, a, b)
			}
		}
	}
	r, lines := s.read(), s.entries()
	if len(r.Measurements) != 5 || len(r.Snags) != 1 || lines["measure"] != 5 || lines["snag"] != 1 ||
		lines["both"] != 1 || lines["refused"] != 1 {
		t.Errorf("%d readings, %d snags, diary %v", len(r.Measurements), len(r.Snags), lines)
	}
	if told[0][0].Word != visit.Both || told[0][5].Word != visit.Refused {
		t.Errorf("%+v", told[0])
	}
}

// phone is somebody's outbox: acts to be sent in order, from the first that was
// not answered.
type phone struct {
	by   firm.Person
	acts []visit.Act
	next int
}

// Two outboxes arrive in any order, with repeats: the records are the same
// ones, every act is in the journal once, and of two that differ about the same
// thing it is the later one that has a choice.
func TestTwoOutboxesInAnyOrder(t *testing.T) {
	r := chance(t)
	base := at(t, words.FirstFix)
	for range 8 {
		s := &site{Site: base.Site, t: t}
		s.r = s.Utility(t, "D1", "D2")
		s.room = s.r.Record.ID
		phones := []*phone{{by: s.Electrician}, {by: s.Plumber}}
		readings, snags := 0, 0
		for _, p := range phones {
			for range 2 + r.IntN(4) {
				if r.IntN(4) == 0 {
					p.acts = append(p.acts, s.act(visit.NoteSnag{Snag: room.Snag{ID: id.New[id.Snag](),
						Says: fmt.Sprintf("scratch %d", r.IntN(2))}}))
					snags++
					continue
				}
				p.acts = append(p.acts, s.act(s.offset(r.IntN(2), []string{"south wall", "west wall"}[r.IntN(2)],
					float64(600+r.IntN(2)))))
				readings++
			}
		}
		words := s.arrive(r, phones)
		record := s.read()
		if len(record.Measurements) != readings || len(record.Snags) != snags {
			t.Errorf("%d readings and %d snags, want %d and %d", len(record.Measurements), len(record.Snags), readings, snags)
		}
		both := 0
		for _, p := range phones {
			done, err := s.Visit.Answered(t.Context(), p.by, ids(p.acts))
			if err != nil || len(done) != len(p.acts) {
				t.Errorf("the journal has %d of %d acts: %v", len(done), len(p.acts), err)
			}
			for _, a := range done {
				if words[a.Act] != a.Word {
					t.Errorf("the journal says %s, the phone was told %s", a.Word, words[a.Act])
				}
				if a.Word == visit.Both {
					both++
				}
			}
		}
		if lines := s.entries(); lines["measure"] != readings || lines["snag"] != snags || lines["both"] != both {
			t.Errorf("the diary has %v; %d readings, %d snags, %d to choose", lines, readings, snags, both)
		}
	}
}

// arrive sends two outboxes in any order with repeats, and holds every answer
// against what came before it.
func (s *site) arrive(r *rand.Rand, phones []*phone) map[id.Act]visit.Word {
	s.t.Helper()
	words := map[id.Act]visit.Word{}
	came := map[id.Member][]room.Reading{}
	for phones[0].next < len(phones[0].acts) || phones[1].next < len(phones[1].acts) {
		k := r.IntN(2)
		p, other := phones[k], phones[1-k]
		if p.next > 0 && r.IntN(3) == 0 { // the answer was lost
			p.next -= 1 + r.IntN(p.next)
		}
		if p.next == len(p.acts) {
			continue
		}
		a := p.acts[p.next]
		p.next++
		got := s.send(p.by, a)
		if before, again := words[a.ID]; again {
			if got.Word != before {
				s.t.Errorf("first %s, then %s", before, got.Word)
			}
			continue
		}
		words[a.ID] = got.Word
		want := visit.Kept
		if m, is := a.Deed.(visit.Measure); is {
			differs := func(o room.Reading) bool {
				return o.Of == m.Reading.Of && o.From == m.Reading.From && o.Value != m.Reading.Value
			}
			if slices.ContainsFunc(came[other.by.ID], differs) {
				want = visit.Both
			}
			came[p.by.ID] = append(came[p.by.ID], m.Reading)
		}
		if got.Word != want {
			s.t.Errorf("%+v, want %s", got, want)
		}
	}
	return words
}

func ids(acts []visit.Act) (out []id.Act) {
	for _, a := range acts {
		out = append(out, a.ID)
	}
	return out
}
