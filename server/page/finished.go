package page

import (
	"net/http"
	"time"

	"lathmark/domain/caution"
	"lathmark/domain/fault"
	"lathmark/domain/visit"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Finished is the form for the day the plaster was finished.
func (p *Pages) Finished(c echo.Context) error {
	s, err := p.scene(c, "Finished")
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Finished, s.finished())
}

func (s *scene) finished() web.FinishedView {
	v := web.FinishedView{Photo: s.photosOfStage(words.Plaster), Stage: words.Plaster.String(),
		Recorded: s.j.Gate.PlasterFinished, DryFrom: s.j.Gate.EarliestDry}
	thick := 0.0
	for _, l := range s.j.Record.Layers {
		if l.Stage == words.Plaster {
			thick = max(thick, l.Thickness)
		}
	}
	on := v.Recorded
	if on.IsZero() {
		on = s.j.Now
		v.LastDay = s.j.Now.Format(time.DateOnly)
	} else {
		v.LastDay = on.Format(time.DateOnly)
	}
	v.Cautions = []web.Caution{shown(caution.Dry(caution.CoatOf(thick), thick, on).Caution)}
	s.say("Give the day on which the last coat went on: the earliest dry day counts from it.")
	v.Sheet = s.sheet
	return v
}

// Finish takes it.
func (p *Pages) Finish(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := roomID(c)
	if err != nil {
		return err
	}
	d := finishOf(f)
	if err = f.err(); err == nil {
		_, err = p.Stage.Finish(c.Request().Context(), who(c), of, d.Stage, d.On)
	}
	return p.taken(c, err, PlaceOf(c).Finished(), "finished", "Finished",
		func(s *scene, status int, faults []fault.Field) error {
			v := s.finished()
			v.Faults, v.LastDay = renamed(faults, "on", "date"), f.Get("date")
			return Draw(c, status, web.Finished, v)
		})
}

// finishOf reads the form: the day.
func finishOf(f *form) visit.Finish {
	day, err := time.Parse(time.DateOnly, f.Get("date"))
	if err != nil {
		f.bad("date", "there is no day", "Write it as 2026-11-25")
	}
	return visit.Finish{Stage: words.Plaster, On: day}
}
