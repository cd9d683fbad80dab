package draw

import (
	"lathmark/domain/geometry"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// zones are the cautions of the room's schedule: the zone of every position
// near a bath or a shower, by where it is, else by where it is planned.
func (s *scene) zones() []web.Caution {
	var out []web.Caution
	for i := range s.J.Record.Positions {
		q := &s.J.Record.Positions[i]
		a, _ := s.J.Position(q.ID)
		at := a.At
		if !a.Determinate && q.Planned != nil {
			at = geometry.Vec{U: q.Planned[0], V: q.Planned[1]}
		}
		if q.OmittedAt.IsZero() && (a.Determinate || q.Planned != nil) {
			out = append(out, kit.AllShown(s.Zone(q, at))...)
		}
	}
	return out
}
