package jobs

import (
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// NewJob is the form for a new job.
func (p *Pages) NewJob() kit.Pair {
	return kit.Filled[web.JobFormView]{May: firm.MayRunJobs, Page: web.NewJob,
		View: func(c echo.Context, typed web.Typed) (web.JobFormView, error) {
			v := web.JobFormView{Sheet: p.Sheet(c, "A new job"), Typed: typed}
			v.Next = web.Next{Sentence: "A name and an address are enough to start."}
			return v, nil
		},
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			j, err := p.Job.Create(c.Request().Context(), kit.Who(c), job.Job{ID: kit.NewID[id.Job](f, 0),
				Name: f.Get("name"), Address: f.Get("address")})
			return web.Place{Job: j.ID.String()}.JobPage(), "job", err
		}}.Pair()
}
