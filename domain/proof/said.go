package proof

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/programme"
)

// saidRow is something that a job's entries say for the programme, with the line that said
// it last.
type saidRow struct {
	line
	detail any
}

// said is what a job's entries say for the programme: promises, pinned work, what is owed,
// ways into rooms and who comes, each under a key that names it.
type said struct {
	check *check
	rows  map[string]saidRow
}

// sayings are the acts that say something for the programme, and what each says.
var sayings = map[string]func(*said, *diary.Entry) error{
	programme.ActPromise: saying(func(d programme.PromiseDetail) string { return "the promise " + d.ID.String() }),
	programme.ActPin:     saying(pinKey),
	programme.ActUnpin:   unsaying(pinKey),
	programme.ActOwed:    saying(func(d programme.OwedDetail) string { return owedKey(d.ID) }),
	programme.ActDropOwed: unsaying(func(d programme.DropDetail) string {
		return owedKey(d.ID)
	}),
	programme.ActThrough: saying(func(d programme.ThroughDetail) string { return "the way into room " + d.Room.String() }),
	programme.ActComing: saying(func(d programme.ComingDetail) string {
		return "the word of crew " + d.Crew.String() + " for " + d.On
	}),
}

func pinKey(d programme.PinDetail) string {
	return fmt.Sprintf("the day of the %s's %s in room %s", d.Trade, d.Stage, d.Room)
}

func owedKey(of id.Owed) string { return "what is owed as " + of.String() }

// saying is an act whose entry has something as it is from then on.
func saying[T any](key func(T) string) func(*said, *diary.Entry) error {
	return func(s *said, e *diary.Entry) error {
		d, err := programme.ReadDetail[T](e.Detail)
		if err == nil {
			s.rows[key(d)] = saidRow{line{e.Seq, e.At, e.Member, e.Who, e.Says}, d}
		}
		return err
	}
}

// unsaying is an act that takes something back.
func unsaying[T any](key func(T) string) func(*said, *diary.Entry) error {
	return func(s *said, e *diary.Entry) error {
		d, err := programme.ReadDetail[T](e.Detail)
		if _, there := s.rows[key(d)]; err == nil && !there {
			err = fmt.Errorf("no entry before it said what it takes back")
		}
		delete(s.rows, key(d))
		return err
	}
}

// tell takes the next entry of a job's diary, whatever it is about.
func (s *said) tell(e *diary.Entry) {
	if e.Act == "remove_room" {
		s.forget(e.Room)
	}
	says, known := sayings[e.Act]
	if !known {
		return
	}
	if err := says(s, e); err != nil {
		s.check.found(e.Seq, "entry %d (%s) cannot be read: %s", e.Seq, e.Act, err)
	}
}

// forget leaves out what went with a room.
func (s *said) forget(of id.Room) {
	for key, r := range s.rows {
		switch d := r.detail.(type) {
		case programme.PinDetail:
			if d.Room == of {
				delete(s.rows, key)
			}
		case programme.OwedDetail:
			if d.Room == of {
				delete(s.rows, key)
			}
		case programme.ThroughDetail:
			d.By = slices.DeleteFunc(slices.Clone(d.By), func(by id.Room) bool { return by == of || d.Room == of })
			s.rows[key] = saidRow{r.line, d}
		}
	}
}

// compare compares what was said with what is stored.
func (s *said) compare(ctx context.Context, tx Tx) error {
	stored, err := tx.SaidOf(ctx, s.check.Job)
	if err != nil {
		return err
	}
	is := map[string]saidRow{}
	put := func(of any, by id.Member, act string) { // read as an entry would be, so that both are alike
		text, wrong := json.Marshal(of)
		err = first(err, wrong, sayings[act](&said{rows: is}, &diary.Entry{Member: by, Detail: text}))
	}
	for i := range stored.Promises {
		p := &stored.Promises[i]
		put(p.Detailed(inPlaceOf(stored, p.ID)), p.GivenBy, programme.ActPromise)
	}
	for i := range stored.Pins {
		put(stored.Pins[i].Detailed(), stored.Pins[i].By, programme.ActPin)
	}
	for i := range stored.Owed {
		put(stored.Owed[i].Detailed(), id.Member{}, programme.ActOwed)
	}
	for of, by := range stored.Ways() {
		put(programme.WayDetail(of, by), id.Member{}, programme.ActThrough)
	}
	for i := range stored.Coming {
		put(stored.Coming[i].Detailed(), stored.Coming[i].By, programme.ActComing)
	}
	s.differ(is)
	return err
}

// inPlaceOf returns the promise in whose place another was given.
func inPlaceOf(all programme.Given, of id.Promise) id.Promise {
	for _, p := range all.Promises {
		if p.Instead == of {
			return p.ID
		}
	}
	return id.Promise{}
}

// differ finds what is said and stored otherwise.
func (s *said) differ(is map[string]saidRow) {
	for key, was := range s.rows {
		now, there := is[key]
		way, isWay := was.detail.(programme.ThroughDetail)
		switch {
		case !there && isWay && len(way.By) == 0:
		case !there:
			s.check.found(was.seq, "%s is gone, and entry %d said it", key, was.seq)
		case !reflect.DeepEqual(was.detail, now.detail):
			s.check.found(was.seq, "%s is stored otherwise than entry %d says", key, was.seq)
		case !now.member.IsZero() && now.member != was.member:
			s.check.found(was.seq, "%s is stored as said by somebody else than entry %d says", key, was.seq)
		}
		delete(is, key)
	}
	for key := range is {
		s.check.found(0, "%s is stored, and no entry says it", key)
	}
}
