package setoutsheet

import (
	"lathmark/domain/advice"
	"lathmark/domain/roomsheet"
)

// view is one solved surface with what is said of its holes.
type view struct {
	*advice.Surface
	holes []advice.Hole // by position
}

// newViews looks at every surface of a room.
func newViews(said advice.Room, solved []roomsheet.Solved) []*view {
	out := make([]*view, len(solved))
	for i := range solved {
		out[i] = &view{advice.Look(&solved[i]), said[i]}
	}
	return out
}
