package persistence

import (
	"context"
	"errors"
	"log/slog"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
	"lathmark/domain/id"
)

const (
	// pingEvery is how long a connection may be silent before it has to show
	// that there is still somebody at its other end, within pingWithin.
	pingEvery  = 30 * time.Second
	pingWithin = 10 * time.Second
)

// Ear is told what Listen hears. Neither method may wait for anything.
type Ear interface {
	// Tell is called with each change that is announced, by this server or by
	// another on the same database.
	Tell(c diary.Change)
	// Gap is called when something may have been missed: at the start, and
	// whenever the connection was lost and is there again.
	Gap()
}

// Listen tells ear of every change of the database until ctx ends, over one
// connection of its own. A connection that is lost is made anew, at first at
// once and then with longer and longer pauses.
func (db *DB) Listen(ctx context.Context, log *slog.Logger, ear Ear) {
	config := db.pool.Config().ConnConfig
	config.RuntimeParams["application_name"] = "lathmark listening"
	patience := newPatience()
	for ctx.Err() == nil {
		heard, err := listen(ctx, config, ear)
		if ctx.Err() != nil {
			return
		}
		if heard {
			patience = newPatience()
		}
		wait := patience.next()
		log.Warn("not listening for changes", "cause", err, "again in", wait.String())
		pause(ctx, wait)
	}
}

// listen reports whether it ever listened, and why it does no longer.
func listen(ctx context.Context, config *pgx.ConnConfig, ear Ear) (heard bool, err error) {
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		return false, err
	}
	defer func() {
		late, cancel := context.WithTimeout(context.WithoutCancel(ctx), rollback)
		defer cancel()
		_ = conn.Close(late) // it is of no use any more
	}()
	if _, err := conn.Exec(ctx, "listen "+channel); err != nil {
		return false, err
	}
	ear.Gap()
	for {
		payload, err := next(ctx, conn)
		if err != nil {
			return true, err
		}
		for line := range strings.Lines(payload) {
			if c, err := readChange(line); err == nil {
				ear.Tell(c)
			}
		}
	}
}

// next waits for a payload; it is empty where nothing came for a while and the
// other end is still there.
func next(ctx context.Context, conn *pgx.Conn) (string, error) {
	silent, cancel := context.WithTimeout(ctx, pingEvery)
	defer cancel()
	n, err := conn.WaitForNotification(silent)
	switch {
	case n != nil:
		return n.Payload, nil
	case ctx.Err() != nil || !errors.Is(err, context.DeadlineExceeded):
		return "", err
	}
	ping, cancel := context.WithTimeout(ctx, pingWithin)
	defer cancel()
	return "", conn.Ping(ping)
}

// readChange reads one line of a payload. Anybody who can reach the database
// can send one, so it is taken for nothing more than it is: a hint.
func readChange(line string) (c diary.Change, err error) {
	words := strings.Fields(line)
	if len(words) != 4 {
		return c, errors.New("a change has four words")
	}
	if c.Firm, err = id.Parse[id.Firm](words[0]); err != nil {
		return c, err
	}
	if words[1] != "-" {
		if c.Job, err = id.Parse[id.Job](words[1]); err != nil {
			return c, err
		}
	}
	if words[2] != "-" {
		if c.Room, err = id.Parse[id.Room](words[2]); err != nil {
			return c, err
		}
	}
	c.Seq, err = strconv.ParseInt(words[3], 10, 64)
	return c, err
}

// patience is how long to wait before the next try.
type patience struct{ wait time.Duration }

// The first try comes soon, and none later than longest after the one before.
const (
	shortest = 100 * time.Millisecond
	longest  = 10 * time.Second
)

func newPatience() patience { return patience{shortest} }

func (p *patience) next() time.Duration {
	wait := p.wait
	p.wait = min(2*p.wait, longest)
	return wait
}

// pause waits, but not longer than ctx lasts.
func pause(ctx context.Context, wait time.Duration) {
	timer := time.NewTimer(wait)
	defer timer.Stop()
	select {
	case <-ctx.Done():
	case <-timer.C:
	}
}
