package room

import (
	"bytes"
	"cmp"
	"slices"
	"strings"
	"time"

	"lathmark/domain/words"
)

// Sort brings every list of a record into its order, wherever its rows came
// from. A list that is in order already is left as it is, for it may be shared.
func (r *Record) Sort() {
	inOrder(&r.Surfaces, func(a, b Surface) int { return cmp.Or(a.Place-b.Place, byID(a.ID, b.ID)) })
	inOrder(&r.Datums, func(a, b Datum) int {
		return cmp.Or(byID(a.Surface, b.Surface), a.Place-b.Place, byID(a.ID, b.ID))
	})
	inOrder(&r.Layers, func(a, b Layer) int {
		return cmp.Or(byID(a.Surface, b.Surface), byID(a.Datum, b.Datum), a.Place-b.Place)
	})
	inOrder(&r.Timbers, func(a, b Timber) int { return cmp.Or(byID(a.Surface, b.Surface), byName(a.Name, b.Name)) })
	inOrder(&r.Ways, func(a, b Way) int { return cmp.Or(byID(a.Surface, b.Surface), byName(a.Name, b.Name)) })
	inOrder(&r.Positions, func(a, b Position) int { return cmp.Or(a.AddedAt.Compare(b.AddedAt), byName(a.Name, b.Name)) })
	inOrder(&r.Measurements, func(a, b Measurement) int { return byTime(a.TakenAt, b.TakenAt, a.ID, b.ID) })
	inOrder(&r.Built, func(a, b AsBuilt) int { return byTime(a.At, b.At, a.Layer, b.Layer) })
	inOrder(&r.Seen, func(a, b TailSeen) int { return byTime(a.At, b.At, a.Position, b.Position) })
	inOrder(&r.Photos, func(a, b Photo) int { return byTime(a.At, b.At, a.ID, b.ID) })
	inOrder(&r.Finished, func(a, b Finished) int { return cmp.Or(a.At.Compare(b.At), int(a.Stage-b.Stage)) })
	inOrder(&r.Openings, func(a, b Opening) int { return byTime(a.At, b.At, a.ID, b.ID) })
	inOrder(&r.Patches, func(a, b Patch) int { return byTime(a.OwedAt, b.OwedAt, a.Opening, b.Opening) })
	inOrder(&r.Snags, func(a, b Snag) int { return byTime(a.NotedAt, b.NotedAt, a.ID, b.ID) })
}

func inOrder[T any](list *[]T, order func(a, b T) int) {
	if !slices.IsSortedFunc(*list, order) {
		*list = slices.Clone(*list)
		slices.SortFunc(*list, order)
	}
}

func byID[T ~[16]byte](a, b T) int {
	x, y := [16]byte(a), [16]byte(b)
	return bytes.Compare(x[:], y[:])
}

func byTime[T ~[16]byte](a, b time.Time, x, y T) int { return cmp.Or(a.Compare(b), byID(x, y)) }

// byName counts as people do: D2 before D10.
func byName(a, b string) int {
	return cmp.Or(words.Characters(a)-words.Characters(b), strings.Compare(a, b))
}

// Put returns a list with v in the place of the one that has its key, else at
// its end. The list that was given stays as it is, for others may read it.
func Put[T Row[K], K comparable](list []T, v T) []T {
	out := append(make([]T, 0, len(list)+1), list...)
	if old := find(out, v.key()); old != nil {
		*old = v
		return out
	}
	return append(out, v)
}

// Drop returns a list without the one that has the key. The list that was given
// stays as it is.
func Drop[T Row[K], K comparable](list []T, key K) []T {
	return slices.DeleteFunc(slices.Clone(list), func(v T) bool { return v.key() == key })
}
