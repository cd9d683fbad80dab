package kit

import (
	"slices"

	"lathmark/domain/firm"
	"lathmark/domain/words"
	"lathmark/web"
)

// links lead to the pages of a room that the viewer can use, but the one of that title.
func (s *Scene) links(title string) []web.Option {
	r := s.J.Record
	out := []web.Option{{Value: s.At.RoomPage(), Label: "Room"}}
	add := func(may bool, label, href string) {
		if may {
			out = append(out, web.Option{Value: href, Label: label})
		}
	}
	_, unfinished := r.InHand()
	works := unfinished && len(r.Surfaces) > 0 && !s.Closed() && firm.MayRecord(s.By) == nil
	add(works, "Measure", s.At.Measure())
	add(true, "Schedule", s.At.Schedule())
	add(len(r.Positions) > 0, "Set-out", s.At.SetOut())
	add(len(r.Seen) > 0 || r.Gates[words.FirstFix].State == words.SignedOff, "Tails", s.At.Tails())
	add(len(r.Layers) > 0, "As built", s.At.AsBuilt())
	add(len(r.Openings) > 0, "Patches", s.At.Patches())
	add(true, "Snags", s.At.Snags())
	add(true, "Photos", s.At.Photos())
	add(true, "Diary", s.At.Diary())
	return slices.DeleteFunc(out, func(o web.Option) bool {
		return o.Label == title || o.Label == "Room" && title == PlanTitle
	})
}

// PlanTitle is the title of a room's own page.
const PlanTitle = "Plan and schedules"
