package diary

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"

	"lathmark/domain/id"
)

// Chain proves a job's entries one after the other, from the first. What it keeps
// grows with what is wrong and with the names that were taken out, not with the
// entries. The zero value is ready for the first entry.
type Chain struct {
	// Entries is how many there were, Last the hash of the last.
	Entries int64
	Last    Hash

	seq     int64
	doubted map[int64]doubt
	// waiting are entries that vouch for others and are doubted themselves.
	waiting map[int64]forgetDetail
	broken  []Break
}

// doubt is what is kept of an entry that does not say what it said: a name may have
// been taken out, and a later entry vouch for it.
type doubt struct {
	sum    Hash
	member id.Member
	who    string
}

// Add takes the next entry.
func (c *Chain) Add(e Entry) {
	switch {
	case e.Seq != c.seq+1:
		c.broken = append(c.broken, Break{e.Seq, fmt.Sprintf("entry %d follows on entry %d", e.Seq, c.seq)})
	case e.Prev != c.Last:
		c.broken = append(c.broken,
			Break{e.Seq, fmt.Sprintf("entry %d does not carry the hash of the one before it", e.Seq)})
	}
	c.Entries, c.seq, c.Last = c.Entries+1, e.Seq, e.Hash
	var f forgetDetail
	vouches := e.Act == actForget && json.Unmarshal(e.Detail, &f) == nil
	if sum := e.sum(); sum != e.Hash {
		if c.doubted == nil {
			c.doubted, c.waiting = map[int64]doubt{}, map[int64]forgetDetail{}
		}
		c.doubted[e.Seq] = doubt{sum, e.Member, e.Who}
		if vouches {
			c.waiting[e.Seq] = f
		}
	} else if vouches {
		c.vouch(e.Seq, f)
	}
}

// vouch takes back the doubt in entries from which a name was taken out. An entry may
// only vouch for those before it.
func (c *Chain) vouch(seq int64, f forgetDetail) {
	for n, text := range f.Entries {
		d, doubted := c.doubted[n]
		if !doubted || n >= seq || d.member != f.Member || d.who != f.As || d.sum.String() != text {
			continue
		}
		delete(c.doubted, n)
		if held, waits := c.waiting[n]; waits {
			delete(c.waiting, n)
			c.vouch(n, held)
		}
	}
}

// Breaks returns every place where the chain does not hold, in order. None means
// that nothing was changed, removed or inserted since it was written, except names
// that a later entry vouches for; see Forget. Entries cut off at the end, and a chain
// that was hashed anew to its end, show only by a Mark that was kept elsewhere.
func (c *Chain) Breaks() []Break {
	out := slices.Clone(c.broken)
	for n := range c.doubted {
		out = append(out, Break{n, fmt.Sprintf("entry %d does not say what it said when it was written", n)})
	}
	slices.SortStableFunc(out, func(a, b Break) int { return cmp.Compare(a.Seq, b.Seq) })
	return out
}

// Check is Chain for entries that are at hand.
func Check(entries []Entry) []Break {
	var c Chain
	for _, e := range entries {
		c.Add(e)
	}
	return c.Breaks()
}
