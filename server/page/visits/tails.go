package visits

import (
	"strings"

	"lathmark/domain/gate"
	"lathmark/web"
)

// tails is the list of tails to be seen free before boarding is signed off.
func (s *scene) tails() web.TailsView {
	v := web.TailsView{MayDo: s.Open(gate.PartTail)}
	v.Photo = s.photosOfSurfaces(v.MayDo)
	var left []string
	for _, q := range s.J.Record.Positions {
		if !q.OmittedAt.IsZero() {
			continue
		}
		row := web.TailRow{Position: q, On: s.SurfaceName(q.Surface), Seen: s.J.Record.SeenOf(q.ID)}
		if row.Seen == nil {
			left = append(left, q.ID.String())
		}
		v.Tails = append(v.Tails, row)
	}
	switch {
	case !v.MayDo:
		s.Say("Boarding is signed off: the tails were seen.")
	case len(left) > 0:
		s.Say("Look at every tail before the boards go up, and tick those that you see free.")
	}
	if len(left) > 1 {
		v.Unseen = strings.Join(left, " ")
	}
	v.Sheet = s.Sheet
	return v
}
