package page

import (
	"fmt"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/typed"
	"lathmark/domain/words"
	"lathmark/web"
)

// layers reads layers, one a line in the order they go on: name, thickness in
// mm, stage. An empty text has none.
func (f *form) layers(field string) []firm.Layer {
	var out []firm.Layer
	for n, line := range lines(f.Get(field)) {
		if strings.TrimSpace(line) == "" {
			continue
		}
		l, wrong := parseLayer(line)
		if wrong != "" {
			f.bad(field, fmt.Sprintf("line %d: %s", n+1, wrong), "Write name, thickness in mm, stage: board 25 boarding")
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
		x, ok := typed.Number(given[i])
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

// layersText is layers as they are typed.
func layersText(layers []firm.Layer) string {
	var out []string
	for _, l := range layers {
		out = append(out, fmt.Sprintf("%s %g %s", l.Name, l.Thickness, l.Stage))
	}
	return strings.Join(out, "\n")
}

// standards are the firm's standard build-ups to choose from.
func standards(all []firm.BuildUp) []web.Option {
	var out []web.Option
	for _, b := range all {
		out = append(out, web.Option{Value: b.ID.String(), Label: b.Name})
	}
	return out
}

// chosen returns the layers of a form that offers a standard build-up in one
// field and lines of one's own in another, which go first.
func (f *form) chosen(all []firm.BuildUp, standard, own string) []firm.Layer {
	if f.Get(own) != "" || f.Get(standard) == "" {
		return f.layers(own)
	}
	for _, b := range all {
		if b.ID.String() == f.Get(standard) {
			return b.Layers
		}
	}
	f.bad(standard, "there is no such build-up", "Choose one of the list")
	return nil
}

// underField returns faults about layers the name of the field they were typed in.
func underField(fields []fault.Field, field string) []fault.Field {
	return renamed(fields, "name", field, "layers", field, "datums", field)
}
