package roomsheet

import (
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"lathmark/domain/geometry"
)

// shuffled returns the room with the records of every list in another order.
// Layers keep theirs: it is the order they go on.
func shuffled(r *Room, rnd *rand.Rand) *Room {
	out := &Room{Format: r.Format, Room: r.Room, Surfaces: append([]Surface{}, r.Surfaces...)}
	for i := range out.Surfaces {
		s := &out.Surfaces[i]
		s.Datums, s.Timbers = mixed(s.Datums, rnd), mixed(s.Timbers, rnd)
		s.Positions, s.Measurements = mixed(s.Positions, rnd), mixed(s.Measurements, rnd)
	}
	return out
}

func mixed[T any](list []T, rnd *rand.Rand) []T {
	list = append([]T{}, list...)
	rnd.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return list
}

// The order of records changes nothing that the adjustment is given.
func TestOrderChangesNothingHandedOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := drawRoom(t)
		other := shuffled(room, rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)))
		for i := range room.Surfaces {
			a, _ := room.Surfaces[i].geometry()
			b, o := other.Surfaces[i].geometry()
			if d := cmp.Diff(a, b); d != "" {
				t.Fatal(d)
			}
			inOrder := other.Surfaces[i].indexed().Datums
			if d := cmp.Diff(inOrder, unsorted(b.Datums, o.datums)); d != "" {
				t.Fatal(d)
			}
		}
	})
}

// Ids, states and usual values become what the adjustment knows.
func TestIndexed(t *testing.T) {
	room := mustRead(t, utility(t))
	g := room.Surfaces[0].indexed()
	if g.Now != 2 || len(g.Layers) != 2 || g.Layers[0] != (geometry.Layer{Thickness: 12.5, Sigma: 0.5}) {
		t.Errorf("surface: now %d, layers %v", g.Now, g.Layers)
	}
	want := []geometry.Datum{
		{Kind: geometry.Face, B: geometry.Vec{U: 3600}, Sigma: 10, Layers: []geometry.Layer{{Thickness: 25, Sigma: 5},
			{Thickness: 3, Sigma: 1}}, Now: 2},
		{Kind: geometry.Face, A: geometry.Vec{V: 2400}, Sigma: 10},
		{Kind: geometry.Face, A: geometry.Vec{U: 3600, V: 2400}, B: geometry.Vec{V: 2400}, Sigma: 10,
			Layers: []geometry.Layer{{Thickness: 25, Sigma: 5}}},
		{Kind: geometry.FixedLine, A: geometry.Vec{V: 1500}, B: geometry.Vec{U: 3600, V: 1500}, Sigma: 2},
		{Kind: geometry.FixedPoint, A: geometry.Vec{U: 3300, V: 2100}, Sigma: 2},
	}
	if d := cmp.Diff(want, g.Datums); d != "" {
		t.Error(d)
	}
	readings := []geometry.Measurement{
		{Kind: geometry.Offset, Value: 628, Sigma: TapeSigma(628)},
		{Kind: geometry.Offset, From: 1, Value: 900, Sigma: 2},
		{Kind: geometry.Span, To: 2, ToState: 1, Value: 2371, Sigma: TapeSigma(2371)},
		{Kind: geometry.Distance, To: 1, Value: 905, Sigma: TapeSigma(905)},
		{Kind: geometry.Thickness, State: 2, Value: 31, Sigma: 1},
		{Kind: geometry.Offset, Of: 1, From: 3, Value: -880, Sigma: TapeSigma(880)},
		{Kind: geometry.Offset, Of: 1, From: 4, Value: 2100, Sigma: 1.25},
		{Kind: geometry.Offset, Of: 1, State: geometry.Unrecorded, Value: 610, Sigma: TapeSigma(610)},
	}
	if d := cmp.Diff(readings, g.Measurements); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff(geometry.Position{Cutout: 76, Reach: 78, TailSigma: 10}, g.Positions[1]); d != "" {
		t.Error(d)
	}
}
