package diary

import (
	"fmt"
	"slices"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// actForget is the act of an entry that vouches for others from which a name
// was taken out.
const actForget = "forget"

// forgetting is the detail of such an entry. The database checks the same
// before it lets a name be taken out (migrations/0016).
type forgetDetail struct {
	Member id.Member `json:"member"`
	As     string    `json:"as"` // what replaces the name
	// Entries has the hash of each entry without the name, by number.
	Entries map[int64]string `json:"entries"`
}

// vouchedAtOnce is how many entries one entry vouches for: a line stays short
// enough to be read.
const vouchedAtOnce = 500

// Forget returns entries of one job and one author without their name, and the
// vouching entries, which must be appended first. Each entry keeps its hash, on
// which the next one builds.
func Forget(by firm.Person, es []Entry, as string, at time.Time) (without, vouching []Entry, err error) {
	for some := range slices.Chunk(es, vouchedAtOnce) {
		f := forgetDetail{Member: some[0].Member, As: as, Entries: map[int64]string{}}
		for _, e := range some {
			e.Who = as
			f.Entries[e.Seq] = e.sum().String()
			without = append(without, e)
		}
		says := fmt.Sprintf("The name of somebody who left was removed from %d entries.", len(some))
		if len(some) == 1 {
			says = "The name of somebody who left was removed from one entry."
		}
		v, err := New(by, some[0].Job, id.Room{}, "", actForget, says, f, at)
		if err != nil {
			return nil, nil, err
		}
		vouching = append(vouching, v)
	}
	return without, vouching, nil
}
