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
	on := s.J.Gate.PlasterFinished
	if on.IsZero() {
		on = s.J.Record.Zone.Day(s.Sheet.Date)
	}
	if s.J.Gate.PlasterFinished.IsZero() {
		s.Say("Give the day on which the last coat went on: the earliest dry day counts from it.")
	}
	v := web.FinishedView{Sheet: s.Sheet, Photo: s.photosOfStage(words.Plaster), Stage: words.Plaster.String(),
		Recorded: s.J.Gate.PlasterFinished, DryFrom: s.J.Gate.EarliestDry,
		Typed: web.Typed{Begins: url.Values{"date": {on.Format(time.DateOnly)}}}}
	if d, ok := s.J.Record.Drying(on); ok {
		v.Cautions = kit.AllShown([]caution.Caution{d.Caution})
	}
	return v
}
