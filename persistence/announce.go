package persistence

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"lathmark/domain/diary"
	"lathmark/domain/id"
)

const (
	// channel is what announcements go over.
	channel = "lathmark_change"
	// perPayload changes of at most 130 bytes each stay under the 8,000 bytes
	// that a payload may have (PostgreSQL 15, NOTIFY).
	perPayload = 50
	// mostPending is how many rooms are told of one by one; what comes on top
	// while they wait is told of firm by firm.
	mostPending = 1000
	// announceEvery is the least time between two announcements. What comes in
	// between waits and goes together.
	announceEvery = 50 * time.Millisecond
	// lastWords is how long the last announcement may take on closing.
	lastWords = 2 * time.Second
)

// Announce has every change announced from now on to all who Listen on this
// database, soon after it is committed, until Close. A writer does not wait for
// that: it leaves a note, and one connection of its own sends the notes
// together. Inside the writing transactions NOTIFY would hold a lock until the
// commit, and all commits would go one after the other. What is lost when the
// server dies between commit and announcement, listeners find in the diary.
// Call it before the first write, and once.
func (db *DB) Announce(log *slog.Logger) {
	ctx, stop := context.WithCancel(context.Background())
	a := &announcer{config: db.pool.Config().ConnConfig, log: log, pending: map[about]int64{},
		wake: make(chan struct{}, 1), ended: make(chan struct{}), stop: stop}
	// An announcement that a crash of the database swallows is no loss.
	a.config.RuntimeParams["synchronous_commit"] = "off"
	a.config.RuntimeParams["application_name"] = "lathmark announcing"
	db.announcer = a
	go a.run(ctx)
}

// about is what a change is about.
type about struct {
	firm id.Firm
	job  id.Job
	room id.Room
}

// announcer holds what is to be announced: for each room the newest entry.
type announcer struct {
	config *pgx.ConnConfig
	log    *slog.Logger
	conn   *pgx.Conn // of run alone
	stop   func()
	ended  chan struct{}
	wake   chan struct{}

	mu      sync.Mutex
	pending map[about]int64
}

// note leaves changes to be announced. It never waits, and what is pending has
// an upper bound. A nil announcer tells nobody.
func (a *announcer) note(changes []diary.Change) {
	if a == nil || len(changes) == 0 {
		return
	}
	a.mu.Lock()
	for _, c := range changes {
		at := about{c.Firm, c.Job, c.Room}
		if _, there := a.pending[at]; !there && len(a.pending) >= mostPending {
			at = about{firm: c.Firm}
		}
		a.pending[at] = max(a.pending[at], c.Seq)
	}
	a.mu.Unlock()
	select {
	case a.wake <- struct{}{}:
	default: // it will look anyway
	}
}

// take empties what is pending.
func (a *announcer) take() []diary.Change {
	a.mu.Lock()
	defer a.mu.Unlock()
	var out []diary.Change
	for at, seq := range a.pending {
		out = append(out, diary.Change{Firm: at.firm, Job: at.job, Room: at.room, Seq: seq})
	}
	clear(a.pending)
	return out
}

func (a *announcer) run(ctx context.Context) {
	defer close(a.ended)
	defer func() { a.disconnect() }()
	patience := newPatience()
	for {
		select {
		case <-ctx.Done():
			late, cancel := context.WithTimeout(context.WithoutCancel(ctx), lastWords)
			defer cancel()
			if err := a.send(late, a.take()); err != nil {
				a.log.Warn("the last changes were not announced", "cause", err)
			}
			return
		case <-a.wake:
		}
		changes, wait := a.take(), announceEvery
		if err := a.send(ctx, changes); err == nil {
			patience = newPatience()
		} else {
			a.disconnect()
			a.note(changes)
			wait = patience.next()
			if ctx.Err() == nil {
				a.log.Warn("changes wait to be announced", "cause", err, "again in", wait.String())
			}
		}
		pause(ctx, wait)
	}
}

// send announces changes with one statement.
func (a *announcer) send(ctx context.Context, changes []diary.Change) (err error) {
	if len(changes) == 0 {
		return nil
	}
	if a.conn == nil {
		if a.conn, err = pgx.ConnectConfig(ctx, a.config); err != nil {
			return err
		}
	}
	_, err = a.conn.Exec(ctx, "select pg_notify($1, p) from unnest($2::text[]) p", channel, payloads(changes))
	return err
}

func (a *announcer) disconnect() {
	if a.conn != nil {
		late, cancel := context.WithTimeout(context.Background(), rollback)
		defer cancel()
		_ = a.conn.Close(late) // it is given up anyway
		a.conn = nil
	}
}

// close sends what is pending and ends.
func (a *announcer) close() {
	if a != nil {
		a.stop()
		<-a.ended
	}
}

// payloads writes changes, a line to each, as many as go into a payload.
func payloads(changes []diary.Change) (out []string) {
	var b strings.Builder
	for i, c := range changes {
		fmt.Fprintf(&b, "%s %s %s %d\n", text(c.Firm), text(c.Job), text(c.Room), c.Seq)
		if (i+1)%perPayload == 0 || i == len(changes)-1 {
			out = append(out, b.String())
			b.Reset()
		}
	}
	return out
}

// text is an id in a payload, "-" for none.
func text[T interface {
	comparable
	String() string
}](v T) string {
	if v == *new(T) {
		return "-"
	}
	return v.String()
}

// perhaps reports whether a transaction was or may have been committed: the
// database did not refuse it, and it was asked to. One that ends the session says nothing of it.
// To announce too much harms nobody.
func perhaps(commit error) bool {
	var refused *pgconn.PgError
	return (!errors.As(commit, &refused) || refused.SeverityUnlocalized != "ERROR") &&
		!errors.Is(commit, pgx.ErrTxCommitRollback) &&
		!pgconn.SafeToRetry(commit)
}
