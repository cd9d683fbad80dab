package advice

import (
	"math"

	"lathmark/domain/caution"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// MeetTimber is said before any hole, besides the cautions.
const MeetTimber = "If you meet timber, stop. Any cut or notch in it is for an engineer."

// OfSheet says of a room's holes what its room sheet knows, with the cautions that go by it: there
// is no height, no bath
// and no wall of cables in a room sheet.
func OfSheet(r *roomsheet.Room, solved []roomsheet.Solved) Room {
	out := Of(solved, nil)
	for i := range out {
		on := solved[i].Surface
		for p := range out[i] {
			h := caution.Hole{Name: out[i][p].Name, Kind: on.Positions[p].Kind, Surface: on.Kind, Height: math.NaN(),
				Use: words.Use(r.Use)}
			if on.Kind == "wall" {
				h.Height = solved[i].Answer.Positions[p].At.V
			}
			out[i][p].Cautions = h.Cautions()
		}
	}
	return out
}

// Cautions are those of the holes that are still to be cut, each once, the worst first.
func (r Room) Cautions() []caution.Said {
	var at []caution.At
	for i := range r {
		for p := range r[i] {
			if h := &r[i][p]; h.Open {
				at = append(at, caution.At{Name: h.Name, Cautions: h.Cautions})
			}
		}
	}
	return caution.Gather(at)
}
