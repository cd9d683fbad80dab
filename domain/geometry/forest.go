package geometry

import (
	"cmp"
	"slices"
)

// forest is the order in which positions are eliminated from the normal system,
// and what elimination couples.
//
// Positions couple only through the few unknowns they share (datums, layers)
// and through straight distances taped between two of them. Without distances
// every position is a tree of its own; with them the trees stay shallow,
// because each round takes out as many positions as it can that are not
// neighbours: a chain of n positions has a depth of about log2 n.
type forest struct {
	order []int // positions in the order of elimination
	depth []int // by position: how many ancestors it has
	// front is, by position, itself and then those it is coupled to when
	// eliminated, nearest first; all of those are its ancestors.
	front [][]int
	// ancestry is how many pairs of a position and itself or an ancestor there are.
	ancestry int
	lone     []bool // by position: it is not coupled to any other
}

// smallDegree: positions with up to this many neighbours are taken out in the
// same round, so that a chain's inside goes with its ends.
const smallDegree = 2

// newForest orders n positions of which the pairs in edges are coupled.
func newForest(n int, edges [][2]int) *forest {
	near := neighbours(n, edges)
	f := &forest{order: make([]int, 0, n), depth: make([]int, n), front: make([][]int, n), lone: make([]bool, n)}
	for i := range near {
		f.lone[i] = len(near[i]) == 0
	}
	gone := make([]bool, n)
	for len(f.order) < n {
		for _, i := range independent(near, gone) {
			gone[i] = true
			f.order = append(f.order, i)
			f.front[i] = append(f.front[i], i)
			f.front[i] = append(f.front[i], near[i]...)
			eliminate(near, i)
		}
	}
	f.arrange()
	return f
}

func neighbours(n int, edges [][2]int) [][]int {
	near := make([][]int, n)
	for _, e := range edges {
		if e[0] != e[1] {
			near[e[0]] = insert(near[e[0]], e[1])
			near[e[1]] = insert(near[e[1]], e[0])
		}
	}
	return near
}

// independent picks positions no two of which are neighbours, each with few
// neighbours, in index order.
func independent(near [][]int, gone []bool) []int {
	least := len(near)
	for i := range near {
		if !gone[i] {
			least = min(least, len(near[i]))
		}
	}
	blocked := make([]bool, len(near))
	var set []int
	for i := range near {
		if gone[i] || blocked[i] || len(near[i]) > max(least, smallDegree) {
			continue
		}
		set = append(set, i)
		for _, j := range near[i] {
			blocked[j] = true
		}
	}
	return set
}

// eliminate takes i out and couples its neighbours with each other.
func eliminate(near [][]int, i int) {
	for _, j := range near[i] {
		k, _ := slices.BinarySearch(near[j], i)
		near[j] = slices.Delete(near[j], k, k+1)
		for _, o := range near[i] {
			if o != j {
				near[j] = insert(near[j], o)
			}
		}
	}
}

// insert adds v to the sorted list unless it is there.
func insert(list []int, v int) []int {
	k, there := slices.BinarySearch(list, v)
	if there {
		return list
	}
	return slices.Insert(list, k, v)
}

// arrange sorts what each position is coupled to by order of elimination and
// counts the depths from the roots down.
func (f *forest) arrange() {
	rank := make([]int, len(f.order))
	for k, i := range f.order {
		rank[i] = k
	}
	for k := len(f.order) - 1; k >= 0; k-- {
		i := f.order[k]
		slices.SortFunc(f.above(i), func(a, b int) int { return cmp.Compare(rank[a], rank[b]) })
		if p := f.parent(i); p >= 0 {
			f.depth[i] = f.depth[p] + 1
		}
		f.ancestry += f.depth[i] + 1
	}
}

// above returns what i is coupled to when it is eliminated, nearest first.
func (f *forest) above(i int) []int { return f.front[i][1:] }

// parent returns the nearest ancestor of i, -1 if it is a root.
func (f *forest) parent(i int) int {
	if len(f.front[i]) == 1 {
		return -1
	}
	return f.front[i][1]
}
