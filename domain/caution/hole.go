package caution

import (
	"slices"

	"lathmark/domain/words"
)

// Reach is how high a hole may be above the floor to be cut from it, mm. Our own:
// arms stretched up, with a saw; no source.
const Reach = 1900.0

// Hole is what the cautions at one hole go by.
type Hole struct {
	Name string
	// Kind of fitting: "downlight", "fan", "socket" ...
	Kind string
	// Surface that is cut: ceiling, slope, wall or floor.
	Surface string
	// Height above the finished floor, mm; NaN where it is not known.
	Height float64
	Use    words.Use
	// Wet are the cautions of its zone by a bath or shower: see Zoned.Cautions.
	Wet []Caution
	// Wall is the wall that is cut and At its place there; nil elsewhere.
	Wall *CableWall
	At   Point
}

// Everywhere returns what is to be minded at every hole, the worst first. The slice
// is the caller's own.
func Everywhere() []Caution { return Worst([]Caution{ProveDead, Services, Asbestos, Dust}) }

// Own returns what goes for this hole alone: its zone by a bath or shower and the
// zones of concealed cables in its wall.
func (h Hole) Own() []Caution {
	out := append([]Caution(nil), h.Wet...)
	if h.Wall != nil {
		out = append(out, h.Wall.Hole(h.Name, h.At))
	}
	return Worst(out)
}

// Cautions returns all there is to mind at the hole, the worst first.
func (h Hole) Cautions() []Caution {
	return Worst(append(append(Everywhere(), h.Own()...), h.ByPlace()...))
}

// ByPlace returns what goes for the hole by its surface, its height, the kind of
// fitting and what the room is used for.
func (h Hole) ByPlace() (out []Caution) {
	if h.Surface != "floor" && !(h.Height <= Reach) {
		out = append(out, Height)
	}
	if h.Surface == "ceiling" {
		out = append(out, FireFloor)
	}
	switch overhead := h.Surface == "ceiling" || h.Surface == "slope"; h.Kind {
	case "downlight":
		if overhead {
			out = append(out, FittingHeat)
		}
	case "fan":
		if overhead {
			out = append(out, FittingHeat)
		}
		if c, ok := Air(h.Use); ok {
			out = append(out, c)
		}
	}
	return Worst(out)
}

// ByPlace returns what goes for any of several holes by its place, each once, the
// worst first.
func ByPlace(holes []Hole) (out []Caution) {
	for _, h := range holes {
		for _, c := range h.ByPlace() {
			if !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	return Worst(out)
}
