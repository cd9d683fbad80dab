package live

import (
	"errors"
	"testing"
	"time"

	"golang.org/x/sync/errgroup"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

func person(of id.Firm) firm.Person { return firm.Person{Firm: of, ID: id.New[id.Member]()} }

func sit(t *testing.T, h *Hub, p firm.Person, what interest) *subscriber {
	t.Helper()
	s, err := h.subscribe(p, what)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// woken waits until a subscriber is woken.
func woken(t *testing.T, s *subscriber) {
	t.Helper()
	select {
	case <-s.woken:
	case <-time.After(time.Minute):
		t.Fatal("a minute long nobody woke it")
	}
}

func TestWhatAChangeConcerns(t *testing.T) {
	a, b, kitchen, hall := id.New[id.Job](), id.New[id.Job](), id.New[id.Room](), id.New[id.Room]()
	for _, c := range []struct {
		name    string
		what    interest
		change  diary.Change
		concern bool
	}{
		{"all jobs, any change", interest{}, diary.Change{Job: a, Room: kitchen}, true},
		{"a job, one of its rooms", interest{job: a}, diary.Change{Job: a, Room: kitchen}, true},
		{"a job, another job", interest{job: a}, diary.Change{Job: b}, false},
		{"a room, itself", interest{a, kitchen}, diary.Change{Job: a, Room: kitchen}, true},
		{"a room, another", interest{a, kitchen}, diary.Change{Job: a, Room: hall}, false},
		{"a room, the whole job", interest{a, kitchen}, diary.Change{Job: a}, true},
		{"a room, the whole firm", interest{a, kitchen}, diary.Change{}, true},
	} {
		if got := c.what.concerns(c.change); got != c.concern {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// Many streams of several firms, some of which never look, while many changes
// arrive: those that look are woken, nobody is held up, and another firm's stay
// asleep.
func TestNobodyIsHeldUp(t *testing.T) {
	h := NewHub()
	ours, theirs := id.New[id.Firm](), id.New[id.Firm]()
	job := id.New[id.Job]()
	var looking, asleep []*subscriber
	for range 200 {
		looking = append(looking, sit(t, h, person(ours), interest{job: job}))
		sit(t, h, person(ours), interest{job: job}) // never looks
		asleep = append(asleep, sit(t, h, person(theirs), interest{}))
	}
	var group errgroup.Group
	for range 8 {
		group.Go(func() error {
			for seq := range int64(200) {
				h.Tell(diary.Change{Firm: ours, Job: job, Seq: seq})
			}
			return nil
		})
	}
	for _, s := range looking {
		group.Go(func() error { woken(t, s); return nil })
	}
	for range 50 { // others subscribe and leave meanwhile
		group.Go(func() error {
			s, err := h.subscribe(person(ours), interest{})
			if err == nil {
				s.leave()
			}
			return err
		})
	}
	if err := group.Wait(); err != nil {
		t.Fatal(err)
	}
	for _, s := range asleep {
		if len(s.woken) > 0 {
			t.Fatal("another firm's stream was woken")
		}
	}
	h.Gap()
	for _, s := range append(looking, asleep...) {
		woken(t, s)
	}
}

func TestSeatsHaveALimit(t *testing.T) {
	h, of := NewHub(), id.New[id.Firm]()
	busy := person(of)
	var own []*subscriber
	for range MostPerPerson {
		own = append(own, sit(t, h, busy, interest{}))
	}
	if _, err := h.subscribe(busy, interest{}); !errors.Is(err, errTooMany) {
		t.Errorf("one more: %v", err)
	}
	own[0].leave()
	own[0].leave() // as a stream that ends for two reasons does
	own[0] = sit(t, h, busy, interest{})
	for h.Open() < MostPerServer {
		sit(t, h, person(of), interest{})
	}
	if _, err := h.subscribe(person(id.New[id.Firm]()), interest{}); !errors.Is(err, errFull) {
		t.Errorf("a full server: %v", err)
	}
	own[0].leave()
	h.Close()
	h.Close()
	<-own[1].over
	if _, err := h.subscribe(person(of), interest{}); !errors.Is(err, errFull) {
		t.Errorf("a server that stops: %v", err)
	}
	own[1].leave()
	if h.Open() != MostPerServer-2 {
		t.Errorf("%d seats are taken", h.Open())
	}
}
