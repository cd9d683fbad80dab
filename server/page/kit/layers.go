package kit

import (
	"fmt"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/words"
	"lathmark/web"
)

// Layers reads layers, one a line in the order they go on: name, thickness in
// mm, stage. An empty text has none.
func (f *Form) Layers(field string) []firm.Layer {
	var out []firm.Layer
	for n, line := range Lines(f.Get(field)) {
		if strings.TrimSpace(line) == "" {
			continue
		}
		l, wrong := parseLayer(line)
		if wrong != "" {
			f.Bad(field, fmt.Sprintf("line %d: %s", n+1, wrong), "Write name, thickness in mm, stage: board 25 boarding")
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
		x, ok := deed.Number(given[i])
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

// LayersText is layers as they are typed.
func LayersText(layers []firm.Layer) string {
	var out []string
	for _, l := range layers {
		out = append(out, fmt.Sprintf("%s %g %s", l.Name, l.Thickness, l.Stage))
	}
	return strings.Join(out, "\n")
}

// Standards are the firm's standard build-ups to choose from.
func Standards(all []firm.BuildUp) []web.Option {
	var out []web.Option
	for _, b := range all {
		out = append(out, web.Option{Value: b.ID.String(), Label: b.Name})
	}
	return out
}

// Chosen returns the layers of a form that offers a standard build-up in one
// field and lines of one's own in another, which go first.
func (f *Form) Chosen(all []firm.BuildUp, standard, own string) []firm.Layer {
	if f.Get(own) != "" || f.Get(standard) == "" {
		return f.Layers(own)
	}
	for _, b := range all {
		if b.ID.String() == f.Get(standard) {
			return b.Layers
		}
	}
	f.Bad(standard, "there is no such build-up", "Choose one of the list")
	return nil
}

// UnderField returns faults about layers the name of the field they were typed in.
func UnderField(fields []fault.Field, field string) []fault.Field {
	return Renamed(fields, "name", field, "layers", field, "datums", field)
}
