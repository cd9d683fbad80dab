// Package live tells open pages that something has changed. A hub receives
// changes and wakes the streams that they concern; a stream reads the diary
// with the rights of its own person, and tells its page which records to fetch
// again: ids and numbers, nothing of what was written.
package live

import (
	"errors"
	"sync"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// How many streams may be open. A hidden page has none, so a person seldom has
// more than one for each phone.
const (
	MostPerPerson = 8
	MostPerServer = 2000
)

// Why somebody gets no stream.
var (
	errTooMany = errors.New("this person has too many pages open")
	errFull    = errors.New("the server has too many pages open, or is stopping")
)

// Hub wakes streams. It is safe for concurrent use, and none of its methods
// waits for a stream.
type Hub struct {
	mu     sync.Mutex
	closed bool
	all    int
	firms  map[id.Firm]map[*subscriber]struct{}
}

// NewHub returns a hub without subscribers.
func NewHub() *Hub { return &Hub{firms: map[id.Firm]map[*subscriber]struct{}{}} }

// interest is what a stream wants to be told.
type interest struct {
	job  id.Job  // none: all jobs
	room id.Room // none: all rooms of the job
}

// concerns reports whether a change is of interest. A change of the whole job
// concerns all its rooms, and one that names no job concerns everybody.
func (i interest) concerns(c diary.Change) bool {
	if i.job.IsZero() || c.Job.IsZero() {
		return true
	}
	return c.Job == i.job && (i.room.IsZero() || c.Room.IsZero() || c.Room == i.room)
}

// subscriber is one stream in the hub.
type subscriber struct {
	hub    *Hub
	member id.Member
	firm   id.Firm
	interest
	// woken receives a value when there may be something new. It holds one: a
	// slow stream looks once for all that came meanwhile.
	woken chan struct{}
	// over is closed when the hub closes.
	over chan struct{}
}

// subscribe adds a subscriber. Errors: errTooMany, errFull.
func (h *Hub) subscribe(p firm.Person, what interest) (*subscriber, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed || h.all >= MostPerServer {
		return nil, errFull
	}
	own := 0
	for s := range h.firms[p.Firm] {
		if s.member == p.ID {
			own++
		}
	}
	if own >= MostPerPerson {
		return nil, errTooMany
	}
	s := &subscriber{hub: h, member: p.ID, firm: p.Firm, interest: what, woken: make(chan struct{}, 1),
		over: make(chan struct{})}
	if h.firms[p.Firm] == nil {
		h.firms[p.Firm] = map[*subscriber]struct{}{}
	}
	h.firms[p.Firm][s] = struct{}{}
	h.all++
	return s, nil
}

// leave removes the subscriber. Calling it twice does no harm.
func (s *subscriber) leave() {
	s.hub.mu.Lock()
	defer s.hub.mu.Unlock()
	seats := s.hub.firms[s.firm]
	if _, there := seats[s]; !there {
		return
	}
	s.hub.all--
	if delete(seats, s); len(seats) == 0 {
		delete(s.hub.firms, s.firm)
	}
}

// wake never waits.
func (s *subscriber) wake() {
	select {
	case s.woken <- struct{}{}:
	default: // already woken, and has not looked yet
	}
}

// Tell wakes the streams of the change's firm that it concerns.
func (h *Hub) Tell(c diary.Change) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for s := range h.firms[c.Firm] {
		if s.concerns(c) {
			s.wake()
		}
	}
}

// Gap wakes every stream: changes may have been missed.
func (h *Hub) Gap() {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, seats := range h.firms {
		for s := range seats {
			s.wake()
		}
	}
}

// Close ends every stream and admits no new ones.
func (h *Hub) Close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed {
		return
	}
	h.closed = true
	for _, seats := range h.firms {
		for s := range seats {
			close(s.over)
		}
	}
}

// Open returns the number of open streams.
func (h *Hub) Open() int {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.all
}
