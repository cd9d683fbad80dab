package kit

import (
	"fmt"
	"slices"
	"strings"

	"lathmark/domain/gate"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"
)

// LayersText is layers as they are typed.
func LayersText(layers []room.Layer) string {
	var out []string
	for _, l := range layers {
		out = append(out, fmt.Sprintf("%s %g %s", l.Name, l.Thickness, l.Stage))
	}
	return strings.Join(out, "\n")
}

// DifferingWalls are the walls that are drawn on several surfaces with build-ups that differ, each with what it may
// have: one press plans that wherever the wall is drawn.
func (s *Scene) DifferingWalls() (out []web.WallChoice) {
	r := s.J.Record
	for _, all := range r.Differing() {
		face, err := r.Datum(all[0].Datum)
		if err != nil {
			continue
		}
		w := web.WallChoice{Name: face.Called(), Href: s.At.BuildUp(face.ID.String()),
			May: s.Runs() && s.Open(gate.PartBuildUp)}
		for _, a := range all {
			way := web.WallWay{Layers: LayersText(r.LayersOf(a.Surface, a.Datum))}
			where := words.InWords(s.SurfaceName(a.Surface))
			if d, err := r.Datum(a.Datum); err == nil {
				way.Bare = d.StaysBare && way.Layers == ""
				where = words.InWords(d.Called()) + " on " + where
			}
			at := slices.IndexFunc(w.Ways, func(o web.WallWay) bool { return o.Layers == way.Layers && o.Bare == way.Bare })
			if at < 0 {
				at = len(w.Ways)
				w.Ways = append(w.Ways, way)
			}
			w.Ways[at].Where = append(w.Ways[at].Where, where)
		}
		out = append(out, w)
	}
	return out
}
