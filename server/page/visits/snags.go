package visits

import (
	"lathmark/domain/words"
	"lathmark/web"
)

// snags is every snag of the room.
func (s *scene) snags() web.SnagsView {
	open := 0
	for _, n := range s.J.Record.Snags {
		if n.ClosedAt.IsZero() {
			open++
		}
	}
	if s.Say("No snag is open."); open > 0 {
		s.Say(words.Count(open, "snag") + " open: decoration is not signed off before they are put right.")
	}
	return web.SnagsView{Sheet: s.Sheet, Rows: s.J.Record.Snags}
}
