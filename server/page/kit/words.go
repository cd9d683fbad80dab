package kit

import (
	"fmt"
	"math"
	"strings"

	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/web"
)

func Distance(a, b roomsheet.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }

// reading is what was measured: "D1 from south wall".
func reading(r *room.Record, m *room.Measurement) string {
	what := string(m.Kind)
	if p, err := r.Position(m.Of); err == nil {
		what = p.Name
	}
	if d, err := r.Datum(m.From); err == nil {
		what += " from " + d.Called()
	}
	if d, err := r.Datum(m.To); err == nil {
		what += " to " + d.Called()
	}
	if p, err := r.Position(m.ToPosition); err == nil {
		what += " to " + p.Name
	}
	return what
}

// Kinds of position that the schedule offers.
var Kinds = Options("downlight", "pendant", "fan", "switch drop", "socket", "sensor", "pipe tail", "waste", "duct")

var Instruments = Options("tape", "laser", "rule")

func Options(words ...string) []web.Option {
	var out []web.Option
	for _, w := range words {
		out = append(out, web.Option{Value: w, Label: w})
	}
	return out
}

// Surfaces are the room's surfaces to choose from.
func Surfaces(r *room.Record) []web.Option {
	var out []web.Option
	for _, s := range r.Surfaces {
		out = append(out, web.Option{Value: s.ID.String(), Label: words.Capital(s.Name)})
	}
	return out
}

func PointText(p roomsheet.Point) string { return fmt.Sprintf("%g %g", p[0], p[1]) }

func PointsText(points []roomsheet.Point) string {
	var out []string
	for _, p := range points {
		out = append(out, PointText(p))
	}
	return strings.Join(out, "\n")
}

// Figure is a figure as it is typed; empty for 0.
func Figure(x float64) string {
	if x == 0 {
		return ""
	}
	return fmt.Sprintf("%g", x)
}
