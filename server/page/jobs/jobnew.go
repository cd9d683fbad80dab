package jobs

import (
	"net/http"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// NewJob is the form for a new job.
func (p *Pages) NewJob(c echo.Context) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.NewJob, p.jobForm(c))
}

func (p *Pages) jobForm(c echo.Context) web.JobFormView {
	v := web.JobFormView{Sheet: p.Sheet(c, "A new job")}
	v.Next = web.Next{Sentence: "A name and an address are enough to begin."}
	return v
}

// AddJob takes it.
func (p *Pages) AddJob(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	j, err := p.Job.Create(c.Request().Context(), kit.Who(c), job.Job{ID: kit.NewID[id.Job](f, 0), Name: f.Get("name"),
		Address: f.Get("address")})
	if fields, ok := kit.Mendable(err); ok {
		v := p.jobForm(c)
		v.Faults, v.Form = fields, web.JobForm{Name: f.Get("name"), Address: f.Get("address")}
		return kit.Draw(c, kit.MendStatus(err), web.NewJob, v)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.Place{Job: j.ID.String()}.JobPage(), "job")
}
