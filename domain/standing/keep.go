package standing

import (
	"time"

	"lathmark/domain/id"
	"lathmark/domain/recent"
	"lathmark/domain/room"
)

// mostWeight bounds what is kept, in bytes as weigh counts them: some hundreds
// of rooms.
const mostWeight = 12 << 20

// kept holds the standings that were worked out last, one of a room. Whoever asks
// has learned the room's revision from the database a moment ago, so that what
// another process wrote since is never missed.
type kept struct {
	recent.Cache[place, *Standing]
}

// place is a room of a firm: two firms may have given rooms the same id.
type place struct {
	firm id.Firm
	room id.Room
}

// of returns the standing of a room of a firm at its head's revision and in its
// zone, or nil.
func (k *kept) of(firm id.Firm, h room.Head, now time.Time) *Standing {
	s, ok := k.Get(place{firm, h.Room})
	if !ok || s.Record.Revision != h.Revision || s.Record.Zone != h.Zone || !s.holds(now) {
		return nil
	}
	return s
}

// last returns the newest standing of a room that is kept, whatever its
// revision, or nil.
func (k *kept) last(at place) *Standing {
	s, _ := k.Get(at)
	return s
}

// put keeps a standing, unless a later one is there already.
func (k *kept) put(at place, s *Standing) {
	k.Put(at, s, weigh(s.Record), func(old *Standing) bool {
		return old.Record.Revision > s.Record.Revision && old.holds(s.Now)
	})
}

// holds reports whether nothing has become dry since the standing was worked out.
func (j *Standing) holds(now time.Time) bool { return j.Until.IsZero() || now.Before(j.Until) }

// weigh is about what the standing of a record takes, in bytes; measured with
// the rooms of testdata.
func weigh(r *room.Record) int {
	return 8<<10 + 3<<10*len(r.Positions) + 1500*len(r.Measurements) + 700*(len(r.Datums)+len(r.Layers)+len(r.Timbers)) +
		300*(len(r.Photos)+len(r.Snags)+len(r.Openings)+len(r.Built)+len(r.Seen))
}
