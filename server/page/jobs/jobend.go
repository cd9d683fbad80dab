package jobs

import (
	"context"
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Closing is what is still open in a job, and the form that closes it. Where
// something is open, that has to be ticked.
func (p *Pages) Closing() kit.Pair {
	return kit.Filled[web.CloseJobView]{May: firm.MayRunJobs, Page: web.CloseJob, View: p.closing,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			of, err := id.Parse[id.Job](c.Param("job"))
			if err == nil {
				_, err = p.Job.Close(c.Request().Context(), kit.Who(c), of, f.Get("anyway") == "yes")
			}
			if fault.KindOf(err) != fault.Obstacle {
				return kit.PlaceOf(c).JobPage(), "job-closed", err
			}
			v, err := p.closing(c, web.Typed{Faults: []fault.Field{{Path: "anyway", Wrong: "something is not finished",
				Mend: "Finish it, or tick that you close the job anyway"}}})
			if err != nil {
				return "", "", err
			}
			return "", "", kit.Draw(c, http.StatusUnprocessableEntity, web.CloseJob, v)
		}}.Pair()
}

func (p *Pages) closing(c echo.Context, typed web.Typed) (v web.CloseJobView, err error) {
	j, sheet, err := p.jobSheet(c, "Close the job")
	if err != nil {
		return v, err
	}
	v = web.CloseJobView{Sheet: sheet, Typed: typed}
	v.Left, err = p.Job.LeftOpen(c.Request().Context(), kit.Who(c), j.ID)
	if j.Open() {
		v.Next = web.Next{Sentence: "Everything in it is finished. Close it when the last of it is done and paid."}
		if n := len(v.Left); n > 0 {
			v.Next.Sentence = words.Capital(words.Count(n, "room")) + " still to finish. Look at each before you close the job."
		}
	}
	return v, err
}

// ReopenJob opens a closed job again.
func (p *Pages) ReopenJob(c echo.Context) error {
	return kit.Press(c, "job", func(ctx context.Context, by firm.Person, of id.Job) error {
		_, err := p.Job.Reopen(ctx, by, of)
		return err
	}, kit.PlaceOf(c).JobPage(), "job-reopened")
}

// RemoveJob takes out a job that was opened by mistake.
func (p *Pages) RemoveJob(c echo.Context) error {
	return kit.Press(c, "job", p.Job.Remove, web.Home, "job-removed")
}

// RemoveRoom takes out a room in which nothing is recorded.
func (p *Pages) RemoveRoom(c echo.Context) error {
	_, j, err := p.Read(c)
	if err != nil {
		return err
	}
	return kit.Press(c, "room", p.Desk.Remove, web.Place{Job: j.Record.Job.String()}.JobPage(), "room-removed")
}
