package visits

import (
	"lathmark/domain/gate"
	"lathmark/web"
)

// tails is the list of tails to be seen free before boarding is signed off.
func (s *scene) tails() web.TailsView {
	v := web.TailsView{MayDo: s.Open(gate.PartTail)}
	v.Photo = s.photosOfSurfaces(v.MayDo)
	left := 0
	for _, q := range s.J.Record.Positions {
		if !q.OmittedAt.IsZero() {
			continue
		}
		row := web.TailRow{Position: q, On: s.SurfaceName(q.Surface), Seen: s.J.Record.SeenOf(q.ID)}
		if row.Seen == nil {
			left++
		}
		v.Tails = append(v.Tails, row)
	}
	switch {
	case !v.MayDo:
		s.Say("Boarding is signed off: the tails were seen.")
	case left > 0:
		s.Say("Look at every tail before the boards go up, and tick those that you see free.")
	case len(v.Tails) > 0:
		s.Say("Every tail is seen free.")
	}
	v.Sheet = s.Sheet
	return v
}
