package programme

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/recent"
)

// storedVersion is that of the programme as it is kept. One of another version is as none:
// it is worked out again.
const storedVersion = 1

// mostKept bounds what a process keeps of programmes, in bytes as they are stored.
const mostKept = 16 << 20

// cache keeps programmes as they were read.
type cache struct {
	recent.Cache[id.Firm, *Programme]
}

// open returns a stored programme; nil where there is none that can be read.
func (c *cache) open(of id.Firm, s Stored) *Programme {
	if p, ok := c.Get(of); ok && p.Made.Equal(s.Made) && p.mark == s.Mark {
		return p
	}
	p := decoded(s)
	if p != nil {
		c.Put(of, p, 2*len(s.Answer), nil)
	}
	return p
}

// decoded returns a stored programme; nil where there is none that this program can read.
func decoded(s Stored) *Programme {
	p := &Programme{}
	if s.Version != storedVersion || json.Unmarshal(s.Answer, p) != nil {
		return nil
	}
	p.Made, p.Today, p.mark = s.Made, s.Today, s.Mark
	return p
}

// number says of each visit how often it has changed, going by the programme before, and
// which are none any more.
func (p *Programme) number(before *Programme, now time.Time) {
	was, gone := map[string]Visit{}, map[string]Visit{}
	if before != nil {
		for _, v := range before.Gone {
			gone[v.Key] = v
		}
		for _, v := range before.Visits {
			was[v.Key] = v
		}
	}
	for i := range p.Visits {
		v := &p.Visits[i]
		v.Since = now
		if old, there := was[v.Key]; there && old.sameAs(v) {
			v.Sequence, v.Since = old.Sequence, old.Since
		} else if there {
			v.Sequence = old.Sequence + 1
		} else if old, there = gone[v.Key]; there {
			v.Sequence = old.Sequence + 1
		}
		delete(was, v.Key)
		delete(gone, v.Key)
	}
	p.Gone = nil
	for _, v := range was {
		v.Sequence, v.Since = v.Sequence+1, now
		p.Gone = append(p.Gone, v)
	}
	for _, v := range gone {
		if now.Sub(v.Since) < goneFor {
			p.Gone = append(p.Gone, v)
		}
	}
	slices.SortFunc(p.Gone, func(a, b Visit) int { return strings.Compare(a.Key, b.Key) })
}

// goneFor is how long a visit that is none any more is remembered.
const goneFor = 366 * 24 * time.Hour

// sameAs reports whether two states of a visit say the same to whoever has it in a calendar.
func (v *Visit) sameAs(o *Visit) bool {
	return v.From.Equal(o.From) && v.To.Equal(o.To) && v.Name == o.Name &&
		slices.EqualFunc(v.Pieces, o.Pieces, func(a, b Placed) bool { return a.Piece == b.Piece && a.Amount == b.Amount })
}

// CalledOff reports whether a visit of Gone was still to come when it went. One that had
// begun by then is over.
func (v *Visit) CalledOff() bool { return v.From.After(v.Since) }
