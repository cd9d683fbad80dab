package room

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"lathmark/domain/fault"
)

// Sensible is from and up to which length, mm, a thing makes sense in a room; whoever means metres is told.
type Sensible struct {
	what        string
	least, most float64
}

// What rooms are like. Common practice, no source: a pipe boxed in, a hall, a loft's side, a stair's well.
var (
	AWall   = Sensible{"a wall", 20, 50_000}
	AHeight = Sensible{"a room's height", 1500, 12_000}
)

// Check returns what is wrong with a length that makes no sense, and what to give; empty where it does. given is how it
// was given: "line 1: 3.6".
func (s Sensible) Check(given string, mm float64) (wrong, mend string) {
	if mm >= s.least && mm <= s.most {
		return "", ""
	}
	mend = fmt.Sprintf("Give %s of %g mm to %g m", s.what, s.least, s.most/1000)
	if metres := mm * 1000; metres >= s.least && metres <= s.most {
		mend = fmt.Sprintf("Did you mean %g m? Give %g", mm, metres)
	}
	return given + " was read as " + strconv.FormatFloat(mm, 'f', -1, 64) + " mm", mend
}

// Sense refuses walls and a height that make no sense; what is as it was in old is not asked. Faults: BadInput.
func (r *Room) Sense(old *Room) error {
	refused := func(path, given string, mm float64, of Sensible) error {
		wrong, mend := of.Check(given, mm)
		if wrong == "" {
			return nil
		}
		return &fault.Error{Kind: fault.BadInput, Msg: "This room makes no sense.",
			Fields: []fault.Field{{Path: path, Wrong: wrong, Mend: mend}}}
	}
	if old == nil || !slices.Equal(old.Outline, r.Outline) {
		for i, a := range r.Outline {
			b := r.Outline[(i+1)%len(r.Outline)]
			long := math.Round(math.Hypot(b[0]-a[0], b[1]-a[1])*1000) / 1000
			if err := refused("outline", fmt.Sprintf("wall %d", i+1), long, AWall); err != nil {
				return err
			}
		}
	}
	if old == nil || old.Height != r.Height {
		return refused("height", "the height", r.Height, AHeight)
	}
	return nil
}
