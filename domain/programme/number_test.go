package programme

import (
	"testing"
	"time"

	"lathmark/domain/words"

	"pgregory.net/rapid"
)

// Law: over any history the number of a visit only rises, rises whenever what a calendar has
// of it changes, and goes on when the visit went and comes back.
func TestNumbersOnlyRise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		now := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
		var before *Programme
		last := map[string]Visit{}
		for range rapid.IntRange(1, 12).Draw(t, "programmes") {
			now = now.Add(time.Hour)
			p := &Programme{}
			for _, key := range []string{"a", "b", "c"} {
				n := rapid.IntRange(0, 3).Draw(t, key)
				if n == 0 {
					continue
				}
				on := words.UTC.Day(now).AddDate(0, 0, n)
				p.Visits = append(p.Visits, Visit{Key: key, From: on, To: on})
			}
			p.number(before, now)
			here := map[string]bool{}
			for _, v := range append(append([]Visit{}, p.Visits...), p.Gone...) {
				if here[v.Key] {
					t.Fatalf("%s is there and gone", v.Key)
				}
				here[v.Key] = true
				old, known := last[v.Key]
				if known && (v.Sequence < old.Sequence || v.Sequence == old.Sequence && !v.sameAs(&old)) {
					t.Fatalf("%+v comes after %+v", v, old)
				}
				last[v.Key] = v
			}
			for key := range last {
				if !here[key] {
					t.Fatalf("%s is forgotten", key)
				}
			}
			before = p
		}
	})
}
