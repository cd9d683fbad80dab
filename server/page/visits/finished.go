package visits

import (
	"net/url"
	"time"

	"lathmark/domain/caution"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// finished is the form for the day the plaster was finished.
func (s *scene) finished() web.FinishedView {
	thick := 0.0
	for _, l := range s.J.Record.Layers {
		if l.Stage == words.Plaster {
			thick = max(thick, l.Thickness)
		}
	}
	on := s.J.Gate.PlasterFinished
	if on.IsZero() {
		on = s.J.Record.Zone.Day(s.Sheet.Date)
	}
	s.Say("Give the day on which the last coat went on: the earliest dry day counts from it.")
	return web.FinishedView{Sheet: s.Sheet, Photo: s.photosOfStage(words.Plaster), Stage: words.Plaster.String(),
		Recorded: s.J.Gate.PlasterFinished, DryFrom: s.J.Gate.EarliestDry,
		Typed:    web.Typed{Begins: url.Values{"date": {on.Format(time.DateOnly)}}},
		Cautions: []web.Caution{kit.Shown(caution.Dry(caution.CoatOf(thick), thick, on).Caution)}}
}
