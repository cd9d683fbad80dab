package page

import (
	"fmt"
	"strings"

	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/web"
)

// datumName is a datum as people say it.
func datumName(d *room.Datum) string { return d.Called() }

// reading is what was measured: "D1 from south wall".
func reading(r *room.Record, m *room.Measurement) string {
	what := string(m.Kind)
	if p, err := r.Position(m.Of); err == nil {
		what = p.Name
	}
	if d, err := r.Datum(m.From); err == nil {
		what += " from " + datumName(d)
	}
	if d, err := r.Datum(m.To); err == nil {
		what += " to " + datumName(d)
	}
	if p, err := r.Position(m.ToPosition); err == nil {
		what += " to " + p.Name
	}
	return what
}

// kinds of position that the schedule offers.
var kinds = options("downlight", "pendant", "fan", "switch drop", "socket", "sensor", "pipe tail", "waste", "duct")

var instruments = options("tape", "laser", "rule")

func options(words ...string) []web.Option {
	var out []web.Option
	for _, w := range words {
		out = append(out, web.Option{Value: w, Label: w})
	}
	return out
}

// surfaces are the room's surfaces to choose from.
func surfaces(r *room.Record) []web.Option {
	var out []web.Option
	for _, s := range r.Surfaces {
		out = append(out, web.Option{Value: s.ID.String(), Label: words.Capital(s.Name)})
	}
	return out
}

func pointText(p roomsheet.Point) string { return fmt.Sprintf("%g %g", p[0], p[1]) }

func pointsText(points []roomsheet.Point) string {
	var out []string
	for _, p := range points {
		out = append(out, pointText(p))
	}
	return strings.Join(out, "\n")
}

// figure is a figure as it is typed; empty for 0.
func figure(x float64) string {
	if x == 0 {
		return ""
	}
	return fmt.Sprintf("%g", x)
}
