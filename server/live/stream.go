package live

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/server/auth"

	"github.com/labstack/echo/v4"
)

const (
	// heartbeat is how often a stream shows that it is alive. It reads the
	// diary then, too, as what nobody announced would not be seen otherwise.
	heartbeat = 20 * time.Second
	// writeTimeout is how long one write may take before the reader counts as
	// gone.
	writeTimeout = 10 * time.Second
	// maxJobs is how many jobs an address may name.
	maxJobs = 100
)

// Streams serves pages that want to be told of changes.
type Streams struct {
	hub      *Hub
	diary    *diary.Service
	sessions *auth.Sessions
	// Both are shorter in tests.
	heartbeat, writeTimeout time.Duration
}

// NewStreams returns the handler of streams.
func NewStreams(hub *Hub, diary *diary.Service, sessions *auth.Sessions) *Streams {
	return &Streams{hub: hub, diary: diary, sessions: sessions, heartbeat: heartbeat, writeTimeout: writeTimeout}
}

// Listen serves one stream (server-sent events, WHATWG HTML 9.2). The address
// says what the page has: job=<id>.<seq> for each job that it shows, with the
// number of the last diary entry that it includes, and room=<id> if it is about
// one room of one job. Without a job, or with all=yes as well, it is about
// every open job of the firm. Events: "change" with job, room (unless the whole
// job is meant) and seq, first of all for what has happened since the page was
// rendered; "over" if the session has ended, or the one job is not theirs to see any
// more. Everyone on site may call it.
func (s *Streams) Listen(c echo.Context) error {
	who, ok := auth.Who(c)
	if !ok {
		return auth.ErrNobody
	}
	if err := firm.MayRead(who.Person); err != nil {
		return err
	}
	what, have, err := asked(c)
	if err != nil {
		return err
	}
	seat, err := s.hub.subscribe(who.Person, what)
	if err != nil {
		return full(c, err)
	}
	defer seat.leave()
	v := &stream{Streams: s, c: c, seat: seat, by: who.Person, have: have, out: http.NewResponseController(c.Response())}
	return v.run(c.Request().Context())
}

// full turns a page away for a while.
func full(c echo.Context, err error) error {
	c.Response().Header().Set("Retry-After", "30")
	if errors.Is(err, errTooMany) {
		return c.String(http.StatusTooManyRequests,
			"Too many of your pages are open. This one shows changes when you open it again.\n")
	}
	return c.String(http.StatusServiceUnavailable,
		"Too many pages are open. This one shows changes when you open it again.\n")
}

// asked parses the address. Faults: BadInput.
func asked(c echo.Context) (what interest, have map[id.Job]int64, err error) {
	bad := &fault.Error{Kind: fault.BadInput, Msg: "This page cannot be told of changes.",
		Fields: []fault.Field{{Path: "job", Wrong: "it is not a job with a number of its diary",
			Mend: "Open the page again"}}}
	query := c.QueryParams()
	if len(query["job"]) > maxJobs {
		return what, nil, bad
	}
	have = map[id.Job]int64{}
	var one id.Job
	for _, pair := range query["job"] {
		job, number, _ := strings.Cut(pair, ".")
		seq, err := strconv.ParseInt(number, 10, 64)
		if err != nil || seq < 0 {
			return what, nil, bad
		}
		if one, err = id.Parse[id.Job](job); err != nil {
			return what, nil, bad
		}
		have[one] = seq
	}
	if query.Has("all") || len(have) != 1 {
		return what, have, nil
	}
	what.job = one
	if room := query.Get("room"); room != "" {
		if what.room, err = id.Parse[id.Room](room); err != nil {
			return what, nil, bad
		}
	}
	return what, have, nil
}

// stream is one page that listens.
type stream struct {
	*Streams
	c    echo.Context
	seat *subscriber
	by   firm.Person
	// have is the last entry of each job's diary that the page was told of.
	have map[id.Job]int64
	out  *http.ResponseController
	// looked: what the page is about was this person's to see.
	looked bool
}

// run goes on until the page or the server goes. What ends it after the first
// byte is not an error.
func (v *stream) run(ctx context.Context) error {
	// The server's own deadlines are those of pages. Each write has its own here.
	if err := v.out.SetReadDeadline(time.Time{}); err != nil {
		return fmt.Errorf("a stream needs a deadline for what it reads: %w", err)
	}
	h := v.c.Response().Header()
	h.Set(echo.HeaderContentType, "text/event-stream; charset=utf-8")
	h.Set(echo.HeaderCacheControl, "no-store")
	h.Set("X-Accel-Buffering", "no") // lets a proxy pass each event on at once
	beats := time.NewTicker(v.heartbeat)
	defer beats.Stop()
	for v.look(ctx) {
		select {
		case <-ctx.Done():
			return nil
		case <-v.seat.over:
			return nil
		case <-v.seat.woken:
		case <-beats.C:
		}
	}
	return nil
}

// look tells the page what is new, or that there is nothing. It reports false
// if the stream is over.
func (v *stream) look(ctx context.Context) bool {
	switch err := v.sessions.Still(v.c); {
	case errors.Is(err, auth.ErrNobody):
		v.write("event: over\ndata:\n\n")
		return false
	case err != nil:
		return false // the page tries again
	}
	changes, err := v.news(ctx)
	switch {
	case errors.Is(err, errNotTheirs) && v.looked:
		v.write("event: over\ndata:\n\n")
		return false
	case err != nil && !errors.Is(err, errNotTheirs): // who asks for what never was theirs is told nothing
		return false
	}
	v.looked = v.looked || err == nil
	var text strings.Builder
	text.WriteString(": here\n\n")
	for _, c := range changes {
		data, err := json.Marshal(c)
		if err != nil {
			return false
		}
		fmt.Fprintf(&text, "event: change\ndata: %s\n\n", data)
	}
	return v.write(text.String())
}

// news returns the changes that the page was not told of. What the person may
// not read is not among them.
func (v *stream) news(ctx context.Context) (out []diary.Change, err error) {
	if v.seat.job.IsZero() {
		return v.newsOfAll(ctx)
	}
	entries, err := v.since(ctx, v.seat.job, v.have[v.seat.job])
	if err != nil || len(entries) == 0 {
		return nil, err
	}
	last := entries[len(entries)-1]
	v.have[last.Job] = last.Seq
	if len(entries) >= diary.Page-1 { // too much to go through
		newest, err := v.diary.Last(ctx, v.by)
		v.have[last.Job] = max(last.Seq, newest[last.Job])
		return []diary.Change{{Job: last.Job, Seq: v.have[last.Job]}}, err
	}
	for _, c := range diary.Changes(entries) {
		if v.seat.concerns(c) {
			out = append(out, c)
		}
	}
	return out, nil
}

// errNotTheirs says that a job is not, or not any more, for this person to see.
var errNotTheirs = errors.New("the job is not theirs to see")

// since returns the entries of a job after a number. It asks for the one of that number,
// too, so that no news is told from no right to any: errNotTheirs.
func (v *stream) since(ctx context.Context, job id.Job, seq int64) ([]diary.Entry, error) {
	entries, err := v.diary.Read(ctx, v.by, job, max(seq-1, 0))
	if err != nil {
		return nil, err
	}
	if len(entries) == 0 { // nor where the page has a number that was never given
		last, err := v.diary.Before(ctx, v.by, job, math.MaxInt64, 1)
		if err == nil && len(last) == 0 {
			err = errNotTheirs
		}
		return nil, err
	}
	return slices.DeleteFunc(entries, func(e diary.Entry) bool { return e.Seq <= seq }), nil
}

// newsOfAll are those of every open job, and that one which the page has was
// closed since, or is not this person's any more.
func (v *stream) newsOfAll(ctx context.Context) (out []diary.Change, err error) {
	newest, err := v.diary.Last(ctx, v.by)
	if err != nil {
		return nil, err
	}
	for job, seq := range newest {
		if seq > v.have[job] {
			out = append(out, diary.Change{Job: job, Seq: seq})
		}
	}
	for job, seq := range v.have {
		if _, there := newest[job]; there {
			continue
		}
		since, err := v.since(ctx, job, seq)
		switch n := len(since); {
		case errors.Is(err, errNotTheirs) && v.looked:
			out = append(out, diary.Change{Job: job, Seq: seq + 1}) // has the page drawn without it
		case errors.Is(err, errNotTheirs):
		case err != nil:
			return nil, err
		case n > 0:
			out = append(out, diary.Change{Job: job, Seq: since[n-1].Seq})
		}
	}
	v.have = newest
	return out, err
}

// write sends text at once. It reports false if nobody receives it.
func (v *stream) write(text string) bool {
	if err := v.out.SetWriteDeadline(time.Now().Add(v.writeTimeout)); err != nil {
		return false
	}
	if _, err := v.c.Response().Write([]byte(text)); err != nil {
		return false
	}
	return v.out.Flush() == nil
}
