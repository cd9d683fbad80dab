package main

import (
	"cmp"
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"lathmark/web"
)

// What is asked of the program, as shares of the bare limits of the same run.
const (
	listShare    = 0.25 // dashboard, tasks: of the bare handler
	roomShare    = 0.20 // room's page, set-out: of the bare handler
	measureShare = 0.10 // a measurement over the API, many rooms: of the bare insert
	oneRoomShare = measureShare / 2
	closedShare  = 1 / 1.3 // dashboard with closed jobs: of that without them
	evenness     = 10      // p99 is less than so many times p50
	mostMemory   = 80      // MB, of the server after all of it
	copyTime     = 300 * time.Millisecond
	copyCommits  = 10
)

// loadSeed is of all that is left to chance: the same rooms and readings every time.
const loadSeed = 9

// BenchmarkLoad is how fast the program is with 16 clients at once: `lathmark
// serve` in a process of its own, without limits on rate, on a PostgreSQL that
// waits for its disk. What is measured takes turns with its bare limit, so that a
// busy machine is busy for both, and the table that it ends with has the shares.
//
//	go test -run '^$' -bench Load/dashboard -benchtime 1x ./cmd/lathmark
//
// LATHMARK_BENCH_SECONDS is how long each figure is measured (3), and
// LATHMARK_BENCH_PROFILE a folder for the server's CPU profiles of the pages.
func BenchmarkLoad(b *testing.B) {
	l := newLoad(b)
	b.Run("copy", l.copies)
	b.Run("dashboard", func(b *testing.B) { l.pages(b, "dashboard", listShare, l.lists(web.Home)) })
	b.Run("tasks", func(b *testing.B) { l.pages(b, "tasks", listShare, l.lists(web.TasksPath)) })
	b.Run("room", func(b *testing.B) { l.pages(b, "room", roomShare, l.rooms(web.Place.RoomPage)) })
	b.Run("set-out", func(b *testing.B) { l.pages(b, "set-out", roomShare, l.rooms(web.Place.SetOut)) })
	b.Run("busy", l.busy)
	b.Run("measurement", l.measuring)
	b.Run("closed", l.closed)
	b.Run("flood", l.flood)
	l.report()
}

// load is one run of the benchmark. What a figure needs is made when the first
// asks for it.
type load struct {
	*testing.B
	chance  *rand.Rand
	seconds time.Duration
	on      *cluster
	served  *process // the server that is measured
	bare    *process // the bare handler
	builder *firmAtWork
	table   table
}

func newLoad(b *testing.B) *load {
	seconds, err := strconv.ParseFloat(cmp.Or(os.Getenv("LATHMARK_BENCH_SECONDS"), "3"), 64)
	if err != nil || seconds <= 0 {
		b.Fatalf("LATHMARK_BENCH_SECONDS: it has to be a number of seconds: %v", err)
	}
	return &load{B: b, chance: rand.New(rand.NewPCG(loadSeed, 0)), seconds: time.Duration(seconds * float64(time.Second)),
		on: newCluster(b)}
}

// server returns the program that is measured.
func (l *load) server() *process {
	if l.served == nil {
		l.served = l.on.serve(l.B)
	}
	return l.served
}

// firm has ten open rooms in three jobs.
func (l *load) firm() *firmAtWork {
	if l.builder == nil {
		l.builder = l.on.found(l.B, l.chance, "Fell & Daughters", 3, 10)
	}
	return l.builder
}

// lists returns the address of a list, for pages.
func (l *load) lists(path string) func() []string { return func() []string { return []string{path} } }

// rooms are the addresses of a page of every room of the firm, for pages.
func (l *load) rooms(page func(web.Place) string) func() []string {
	return func() (all []string) {
		for _, room := range l.firm().rooms {
			all = append(all, page(web.Place{Room: room.id}))
		}
		return all
	}
}

// pages measures pages that one person opens one after the other, on a phone that
// takes them packed, on one that does not, and on one that has them.
func (l *load) pages(b *testing.B, name string, share float64, paths func() []string) {
	f := l.firm()
	at, all := l.server().at, paths()
	had := tags(b, at, f.cookie, all)
	limit := l.bareRow()
	packed := &way{name: name, once: f.opens(at, all, "gzip", nil)}
	plain := &way{name: name + ", not packed", once: f.opens(at, all, "identity", nil)}
	ways := []*way{limit, packed, plain}
	again := &way{name: name + ", for a phone that has it", once: f.opens(at, all, "gzip", had)}
	if had != nil {
		ways = append(ways, again)
	}
	takeTurns(b, l.seconds, ways...)
	l.table.add(b, limit, nil, 0)
	l.table.add(b, packed, limit, share)
	l.table.add(b, plain, limit, 0)
	if had == nil {
		l.table.say("%s: no 304, the page has no ETag or is sent again to a phone that has it", name)
	} else {
		l.table.add(b, again, limit, 0)
		l.table.say("%s: answers 304 to a phone that has it", name)
	}
	l.profile(b, name, packed)
}

// profile writes a CPU profile of the server under one way of asking, where one
// is wanted.
func (l *load) profile(b *testing.B, name string, w *way) {
	folder := os.Getenv("LATHMARK_BENCH_PROFILE")
	if folder == "" {
		return
	}
	folder, err := filepath.Abs(folder)
	if err == nil {
		err = os.MkdirAll(folder, 0o755)
	}
	if err != nil {
		b.Fatal(err)
	}
	l.served.order(b, "profile "+filepath.Join(folder, name+".cpu"))
	(&way{name: w.name, once: w.once}).turn(b, l.seconds, true)
	l.served.order(b, "end profile")
}

// busy measures the dashboard while one of the 16 measures in its rooms.
func (l *load) busy(b *testing.B) {
	f := l.firm()
	at, next := l.server().at, 0
	reads := f.opens(at, []string{web.Home}, "gzip", nil)
	writes := f.measures(b, at, func(*client, int) *measured { next++; return f.rooms[next%len(f.rooms)] })
	limit := l.bareRow()
	w := &way{name: "dashboard, one of 16 measures", once: func(ctx context.Context, c *client, turn int) (int64, error) {
		if c.n == 0 {
			return writes(ctx, c, turn)
		}
		return reads(ctx, c, turn)
	}}
	takeTurns(b, l.seconds, limit, w)
	l.table.add(b, limit, nil, 0)
	l.table.add(b, w, limit, 0)
}

// measuring measures measurements over the API, in 16 rooms and in one. Each turn
// has rooms of its own, so that none becomes one that there never was on a site.
func (l *load) measuring(b *testing.B) {
	f := l.on.found(b, l.chance, "Carro & Nowik", 1, (turns+1)*(clients+1))
	at := l.server().at
	many := &way{name: "measurement, 16 rooms", once: f.measures(b, at, func(c *client, turn int) *measured {
		return f.rooms[turn*clients+c.n]
	})}
	one := &way{name: "measurement, one room", once: f.measures(b, at, func(_ *client, turn int) *measured {
		return f.rooms[(turns+1)*clients+turn]
	})}
	limit := l.on.bareInsert(b)
	takeTurns(b, l.seconds, limit, many, one)
	l.table.add(b, limit, nil, 0)
	l.table.add(b, many, limit, measureShare)
	l.table.add(b, one, limit, oneRoomShare)
	l.table.say("measurement: one room takes %.2f of what 16 take", one.rate()/many.rate())
	l.profile(b, "measurement", many)
}

// closed compares a dashboard with 40 rooms to one with as many and 360 more in
// jobs that are closed.
func (l *load) closed(b *testing.B) {
	if !l.on.closes(b) {
		l.table.say("closed: not measured, because the table job has no column closed_at: jobs cannot be closed")
		return
	}
	few := l.on.found(b, l.chance, "Quill & Sons", 4, 40)
	many := l.on.found(b, l.chance, "Harker Brothers", 40, 400)
	l.on.close(b, many.jobs[4:])
	at := l.server().at
	without := &way{name: "dashboard, 40 rooms", once: few.opens(at, l.lists(web.Home)(), "gzip", nil)}
	with := &way{name: "dashboard, 40 rooms and 360 closed", once: many.opens(at, l.lists(web.Home)(),
		"gzip", nil)}
	takeTurns(b, l.seconds, without, with)
	l.table.add(b, without, nil, 0)
	l.table.add(b, with, without, closedShare)
}

// report prints the table, and the server's memory after all of it.
func (l *load) report() {
	if l.served != nil {
		now, most := l.served.memory(l.B)
		l.table.say("server: %.1f MB after it, %.1f at most; asked for: under %d MB after it: %s", now, most, mostMemory,
			yes(now < mostMemory))
	}
	l.table.print(os.Stdout)
}
