package deed

import (
	"fmt"
	"strings"

	"lathmark/domain/firm"
	"lathmark/domain/words"
)

// Layers reads layers, one a line in the order they go on: name, thickness in
// mm, stage. An empty text has none.
func (f *Form) Layers(field string) []firm.Layer {
	var out []firm.Layer
	for n, line := range f.Lines(field) {
		l, wrong := parseLayer(line)
		if wrong != "" {
			f.Bad(field, fmt.Sprintf("line %d: %s", n, wrong), "Write name, thickness in mm, stage: board 25 boarding")
			continue
		}
		out = append(out, l)
	}
	return out
}

// parseLayer finds the thickness; what stands before it is the name, what
// stands after it the stage.
func parseLayer(line string) (l firm.Layer, wrong string) {
	given := strings.Fields(line)
	for i := 1; i < len(given); i++ {
		x, ok := Number(given[i])
		if !ok {
			continue
		}
		l.Name, l.Thickness = strings.Join(given[:i], " "), x
		after := strings.TrimPrefix(strings.Join(given[i+1:], " "), "mm ")
		s, err := words.ParseStage(after)
		if err != nil {
			return l, "there is no stage after the thickness"
		}
		l.Stage = s
		return l, ""
	}
	return l, "there is no thickness"
}

// Chosen returns the layers of a form that offers a standard build-up in one
// field and lines of one's own in another, which go first.
func (s *Sent) Chosen(standard, own string) []firm.Layer {
	if s.Get(own) != "" || s.Get(standard) == "" {
		return s.Layers(own)
	}
	for _, b := range s.BuildUps {
		if b.ID.String() == s.Get(standard) {
			return b.Layers
		}
	}
	s.Bad(standard, "there is no such build-up", "Choose one of the list")
	return nil
}
