package programme

import (
	"encoding/json"
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
	if s.Version != storedVersion {
		return nil
	}
	if p, ok := c.Get(of); ok && p.Made.Equal(s.Made) && p.mark == s.Mark {
		return p
	}
	p := &Programme{}
	if json.Unmarshal(s.Answer, p) != nil {
		return nil
	}
	p.Made, p.Today, p.mark = s.Made, s.Today, s.Mark
	c.Put(of, p, 2*len(s.Answer), nil)
	return p
}

// number says of each visit how often it has moved, going by the programme before.
func (p *Programme) number(before *Programme, now time.Time) {
	was := map[string]Visit{}
	p.Gone = map[string]int{}
	if before != nil {
		for key, n := range before.Gone {
			p.Gone[key] = n
		}
		for _, v := range before.Visits {
			was[v.Key], p.Gone[v.Key] = v, v.Sequence
		}
	}
	for i := range p.Visits {
		v := &p.Visits[i]
		old, there := was[v.Key]
		last, known := p.Gone[v.Key]
		switch {
		case there && old.From.Equal(v.From) && old.To.Equal(v.To):
			v.Sequence, v.Since = old.Sequence, old.Since
		case known:
			v.Sequence, v.Since = last+1, now
		default:
			v.Since = now
		}
		delete(p.Gone, v.Key)
	}
}
