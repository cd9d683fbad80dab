package gates_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/persistence/dbtest"
)

// While several people write by two processes at once, nobody is ever shown a
// room at another revision than one that was committed: what is kept at the end
// is what is stored, and revisions never go back for one who looks.
func TestKeptWhileManyWrite(t *testing.T) {
	s := dbtest.New(t)
	r := seed(t)
	other := process(t, s)
	at := s.Utility(t, "D1", "D2", "D3")
	var wait sync.WaitGroup
	for n := range 6 {
		mine, by := rand.New(rand.NewPCG(r.Uint64(), r.Uint64())), []*dbtest.Site{s, other}[n%2]
		wait.Go(func() {
			last := int64(0)
			for range 15 {
				j, err := by.Book.Read(context.WithoutCancel(t.Context()), by.Foreman, at.Record.ID)
				if err != nil {
					t.Error(err)
					return
				}
				if j.Record.Revision < last {
					t.Errorf("revision %d was shown after %d", j.Record.Revision, last)
				}
				last = j.Record.Revision
				p := one(mine, j.Record.Positions)
				_, err = by.Desk.Do(context.WithoutCancel(t.Context()), by.Foreman, at.Record.ID,
					deed.Hold{Position: p.ID, Version: 0, Why: fmt.Sprint("reason ", mine.Uint64())})
				if err != nil && fault.KindOf(err) == "" {
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
	for _, p := range []*dbtest.Site{s, other} {
		sameAsFresh(t, "at the end", p, at.Record.ID)
	}
}
