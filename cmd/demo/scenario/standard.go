package scenario

import (
	"lathmark/domain/firm"
	"lathmark/domain/words"
)

// The firm's standard build-ups. Thicknesses are common practice, no source.
const (
	brick    = "Brick, dabs and board, skim"
	stud     = "Stud, board, skim"
	ceiling  = "Ceiling, board, skim"
	tiled    = "Brick, dabs and board, tile"
	rendered = "Brick, float and set"
	flooring = "Floor, tile"
	screeded = "Floor, screed, tile"
)

var standards = []struct {
	name   string
	layers []firm.Layer
}{
	{brick, []firm.Layer{{Name: "board", Thickness: 25, Sigma: 5, Stage: words.Boarding},
		{Name: "skim", Thickness: 3, Sigma: 1, Stage: words.Plaster}}},
	{stud, []firm.Layer{{Name: "board", Thickness: 12.5, Sigma: 1, Stage: words.Boarding},
		{Name: "skim", Thickness: 3, Sigma: 1, Stage: words.Plaster}}},
	{ceiling, []firm.Layer{{Name: "board", Thickness: 12.5, Sigma: 0.5, Stage: words.Boarding},
		{Name: "skim", Thickness: 3, Sigma: 1, Stage: words.Plaster}}},
	{tiled, []firm.Layer{{Name: "board on dabs", Thickness: 25, Sigma: 5, Stage: words.Boarding},
		{Name: "tile", Thickness: 14, Sigma: 2.5, Stage: words.Plaster}}},
	{rendered, []firm.Layer{{Name: "undercoat", Thickness: 11, Sigma: 3, Stage: words.Plaster},
		{Name: "skim", Thickness: 3, Sigma: 1, Stage: words.Plaster}}},
	{screeded, []firm.Layer{{Name: "screed", Thickness: 65, Sigma: 5, Stage: words.Boarding},
		{Name: "tile", Thickness: 14, Sigma: 2.5, Stage: words.SecondFix}}},
	{flooring, []firm.Layer{{Name: "tile", Thickness: 14, Sigma: 2.5, Stage: words.SecondFix}}},
}

func layersOf(name string) []firm.Layer {
	for _, s := range standards {
		if s.name == name {
			return s.layers
		}
	}
	panic("no standard build-up " + name) // a slip in the scenario itself
}
