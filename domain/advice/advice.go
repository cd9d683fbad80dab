// Package advice says of each hole what somebody needs to know who is about to cut
// it: where, how surely, what may go wrong, and whether it may be cut at all. Pages,
// the giant figures, the printed sheet, the API and the phone all read one Hole,
// and its sentences stand in one order everywhere, the worst first.
//
// The proof. One hole of each trade is cut before its others, and where its tail
// turns out to be corrects them: a trade that has two holes or more in the room
// has its own, because nobody is sent to another trade's tail. It is the one that
// geometry.PositionAnswer.Before puts first of those that may be cut.
package advice

import (
	"slices"

	"lathmark/domain/caution"
	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Grade is how much a sentence weighs.
type Grade string

// The grades, the worst first.
const (
	Stop Grade = "stop" // the hole is not to be cut
	Warn Grade = "warn" // something costs a hole where it is not heeded
	Tell Grade = "tell"
)

// Line is one sentence of an advice.
type Line struct {
	Grade Grade  `json:"grade" enum:"stop,warn,tell"`
	Says  string `json:"says"`
}

// Hole is what is said of one position's hole.
type Hole struct {
	Surface, Position int // places in the room sheet
	Name              string
	Trade             words.Trade
	// Marks are the two offsets to mark, allowing for timbers; none where it
	// cannot be marked.
	Marks []Mark
	Saw   string // "hole saw 76", or "no hole saw"
	// PlusMinus is how far from there the tail may be, mm, 19 times in 20.
	PlusMinus float64
	// Find is the chance that the tail is within reach, Hit that of meeting a
	// timber.
	Find, Hit float64
	Slip      float64 // see geometry.PositionAnswer
	Moved     string  // how it was moved off a timber: "Moved 31 towards ..."
	// First: it is its trade's proof, and is cut before the trade's others.
	First bool
	// Doubt says which readings do not fit; "" where all do. Whoever records
	// the hole as cut has to say that they know.
	Doubt string
	// MayCut: nothing says stop. Why is the first sentence that does.
	MayCut bool
	Why    string
	// Barred is the first of them that has to do with the hole itself: it is not
	// cut in any stage before that is put right.
	Barred string
	// Open: it is still to be cut, now or once what stops it is out of the way.
	Open bool
	// Lines are the sentences, the worst first. Cautions come after them.
	Lines    []Line
	Cautions []caution.Caution
}

// Known is what a record knows of a position and its room sheet does not say.
type Known struct {
	Trade words.Trade
	// Gone says why no hole is cut for it: "held: no fan yet"; "" where one is.
	Gone   string
	Cut    bool // Gone, because it is cut
	Proved bool // its trade's set-out is proved
	// Shut says why nothing is cut in the room now; "" where it may be.
	Shut string
}

// Room is what is said of a room's holes, by surface, by position.
type Room [][]Hole

// Of says it of a room's surfaces. known may be nil: then nothing is known but
// what the room sheet says.
func Of(solved []roomsheet.Solved, known func(surface, position int) Known) Room {
	out := make(Room, len(solved))
	facts := make([][]Known, len(solved))
	for i := range solved {
		s := &solved[i]
		out[i], facts[i] = make([]Hole, len(s.Surface.Positions)), make([]Known, len(s.Surface.Positions))
		for p := range s.Surface.Positions {
			if facts[i][p] = (Known{Trade: words.TradeOfKind(s.Surface.Positions[p].Kind),
				Shut: shut(s.Surface)}); known != nil {
				facts[i][p] = known(i, p)
			}
		}
	}
	for i := range solved {
		v := Look(&solved[i])
		for p := range out[i] {
			h := &out[i][p]
			h.Surface, h.Position = i, p
			v.figures(h, &facts[i][p])
			v.stops(h, &facts[i][p])
		}
	}
	out.choose(solved, facts)
	for i := range solved {
		v := Look(&solved[i])
		for p := range out[i] {
			v.tells(&out[i][p])
		}
	}
	return out
}

// choose marks each trade's proof.
func (r Room) choose(solved []roomsheet.Solved, facts [][]Known) {
	for _, trade := range words.Trades {
		var best *Hole
		var answer *geometry.PositionAnswer
		n := 0
		for i := range r {
			for p := range r[i] {
				h, k := &r[i][p], &facts[i][p]
				if k.Trade != trade || k.Gone != "" && !k.Cut {
					continue
				}
				n++
				a := &solved[i].Answer.Positions[p]
				if h.Open && !k.Proved && h.Doubt == "" && !a.Plan.Stop() && (best == nil || a.Before(answer)) {
					best, answer = h, a
				}
			}
		}
		if best != nil && n > 1 {
			best.First = true
		}
	}
}

// ToCut returns the holes that are still to be cut, in order: each trade's proof,
// then the others as they stand in the room.
func (r Room) ToCut() []*Hole {
	var out []*Hole
	for i := range r {
		for p := range r[i] {
			if r[i][p].Open {
				out = append(out, &r[i][p])
			}
		}
	}
	slices.SortStableFunc(out, func(a, b *Hole) int {
		return turn(a) - turn(b)
	})
	return out
}

func turn(h *Hole) int {
	if h.First {
		return slices.Index(words.Trades, h.Trade) - len(words.Trades)
	}
	return 0
}
