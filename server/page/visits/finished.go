package visits

import (
	"time"

	"lathmark/domain/caution"
	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Finished is the form for the day the plaster was finished.
func (p *Pages) Finished(c echo.Context) error { return kit.Show(c, p.House, web.Finished, Finished) }

// Finished draws it.
func Finished(v kit.Viewer, j *standing.Standing) web.FinishedView {
	return look(v, j, "Finished").finished()
}

func (s *scene) finished() web.FinishedView {
	v := web.FinishedView{Photo: s.photosOfStage(words.Plaster), Stage: words.Plaster.String(),
		Recorded: s.J.Gate.PlasterFinished, DryFrom: s.J.Gate.EarliestDry}
	thick := 0.0
	for _, l := range s.J.Record.Layers {
		if l.Stage == words.Plaster {
			thick = max(thick, l.Thickness)
		}
	}
	on := v.Recorded
	if on.IsZero() {
		on = s.J.Now
		v.LastDay = s.J.Now.Format(time.DateOnly)
	} else {
		v.LastDay = on.Format(time.DateOnly)
	}
	v.Cautions = []web.Caution{kit.Shown(caution.Dry(caution.CoatOf(thick), thick, on).Caution)}
	s.Say("Give the day on which the last coat went on: the earliest dry day counts from it.")
	v.Sheet = s.Sheet
	return v
}

// Finish takes it.
func (p *Pages) Finish(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	d, err := f.Deed(deed.KindFinish, "", nil)
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), of, d)
	}
	return p.taken(c, err, kit.PlaceOf(c).Finished(), "finished", "Finished",
		func(s *scene, status int, faults []fault.Field) error {
			v := s.finished()
			v.Faults, v.LastDay = kit.Renamed(faults, "on", "date"), f.Get("date")
			return kit.Draw(c, status, web.Finished, v)
		})
}
