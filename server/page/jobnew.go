package page

import (
	"net/http"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// NewJob is the form for a new job.
func (p *Pages) NewJob(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.NewJob, p.jobForm(c))
}

func (p *Pages) jobForm(c echo.Context) web.JobFormView {
	v := web.JobFormView{Sheet: p.Sheet(c, "A new job")}
	v.Next = web.Next{Sentence: "A name and an address are enough to begin."}
	return v
}

// AddJob takes it.
func (p *Pages) AddJob(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	j, err := p.Job.Create(c.Request().Context(), who(c), job.Job{ID: newID[id.Job](f, 0), Name: f.Get("name"),
		Address: f.Get("address")})
	if fields, ok := mendable(err); ok {
		v := p.jobForm(c)
		v.Faults, v.Form = fields, web.JobForm{Name: f.Get("name"), Address: f.Get("address")}
		return Draw(c, mendStatus(err), web.NewJob, v)
	}
	if err != nil {
		return err
	}
	return seeOther(c, web.Place{Job: j.ID.String()}.JobPage(), "job")
}
