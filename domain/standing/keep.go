package standing

import (
	"container/list"
	"sync"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// mostWeight bounds what is kept, in bytes as weight counts them: some hundreds
// of rooms.
const mostWeight = 12 << 20

// kept holds the standings that were worked out last, one of a room, by the
// room's revision: whoever asks has learned that from the database a moment ago,
// so that what another process wrote since is never missed.
type kept struct {
	mu     sync.Mutex
	rooms  map[place]*list.Element
	recent list.List // of *Standing, the last used first
	weight int
}

// place is a room of a firm: two firms may have given rooms the same id.
type place struct {
	firm id.Firm
	room id.Room
}

// of returns the standing of a room at a revision, or nil.
func (k *kept) of(at place, revision int64, now time.Time) *Standing {
	k.mu.Lock()
	defer k.mu.Unlock()
	e, ok := k.rooms[at]
	if !ok {
		return nil
	}
	one := e.Value.(entry)
	if one.Record.Revision != revision || !one.holds(now) {
		return nil
	}
	k.recent.MoveToFront(e)
	return one.Standing
}

// last returns the newest standing of a room that is kept, whatever its
// revision, or nil.
func (k *kept) last(at place) *Standing {
	k.mu.Lock()
	defer k.mu.Unlock()
	if e, ok := k.rooms[at]; ok {
		return e.Value.(entry).Standing
	}
	return nil
}

type entry struct {
	at place
	*Standing
	weight int
}

// put keeps a standing, unless a later one is there already.
func (k *kept) put(at place, s *Standing) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.rooms == nil {
		k.rooms = map[place]*list.Element{}
	}
	if e, ok := k.rooms[at]; ok {
		if old := e.Value.(entry); old.Record.Revision > s.Record.Revision && old.holds(s.Now) {
			return
		}
		k.drop(e)
	}
	one := entry{at, s, weigh(s.Record)}
	k.rooms[at] = k.recent.PushFront(one)
	k.weight += one.weight
	for k.weight > mostWeight && k.recent.Len() > 1 {
		k.drop(k.recent.Back())
	}
}

func (k *kept) drop(e *list.Element) {
	one := k.recent.Remove(e).(entry)
	delete(k.rooms, one.at)
	k.weight -= one.weight
}

// holds reports whether nothing has become dry since the standing was worked out.
func (j *Standing) holds(now time.Time) bool { return j.Until.IsZero() || now.Before(j.Until) }

// weigh is about what the standing of a record takes, in bytes; measured with
// the rooms of testdata.
func weigh(r *room.Record) int {
	return 8<<10 + 3<<10*len(r.Positions) + 1500*len(r.Measurements) + 700*(len(r.Datums)+len(r.Layers)+len(r.Timbers)) +
		300*(len(r.Photos)+len(r.Snags)+len(r.Openings)+len(r.Built)+len(r.Seen))
}
