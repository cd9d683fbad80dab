package page

import (
	"context"
	"net/http"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// JobPage is one job.
func (p *Pages) JobPage(c echo.Context) error {
	v, err := p.jobView(c)
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Job, v)
}

// jobOf reads the job that the address names.
func (p *Pages) jobOf(c echo.Context) (job.Job, error) {
	of, err := id.Parse[id.Job](c.Param("job"))
	if err != nil {
		return job.Job{}, err
	}
	return p.Job.Job(c.Request().Context(), who(c), of)
}

func (p *Pages) jobView(c echo.Context) (web.JobView, error) {
	j, err := p.jobOf(c)
	if err != nil {
		return web.JobView{}, err
	}
	by := who(c)
	all, err := p.people(c.Request().Context(), by)
	if err != nil {
		return web.JobView{}, err
	}
	v := web.JobView{Sheet: p.Sheet(c, "Job"), MayEdit: firm.MayRunJobs(by) == nil && j.Open()}
	v.Job, v.Seq, v.Closed = j.Name, j.Seq, j.ClosedAt
	table, rooms, err := p.table(c, j, all)
	if err != nil {
		return v, err
	}
	v.Table = table
	if v.Person.Foreman {
		l, err := p.Job.Link(c.Request().Context(), by, j.ID)
		if err != nil {
			return v, err
		}
		v.ProgressMade, v.ProgressEnds = l.MadeAt, l.EndsAt
	}
	v.Next = web.Next{Sentence: "Nothing for you here today."}
	if !j.Open() {
		v.Next = closedNext
		for i := range table.Rooms { // nobody is next
			table.Rooms[i].Next = ""
		}
		return v, nil
	}
	for i, r := range rooms {
		if r.Gate.Next(tradeOf(by)).Task != nil {
			v.Next = nextOf(table.Rooms[i].At, r, tradeOf(by))
			v.Next.Sentence = r.Record.Name + ": " + v.Next.Sentence
			break
		}
	}
	if len(rooms) == 0 && v.MayEdit {
		v.Next = web.Next{Sentence: "Walk through the house from the front door and draw the first room.",
			Action: "Draw the first room", Href: v.At.NewRoom()}
	}
	return v, nil
}

// ProgressLink makes the client's private link and shows it this once: only its
// hash is kept.
func (p *Pages) ProgressLink(c echo.Context) error {
	of, err := id.Parse[id.Job](c.Param("job"))
	if err != nil {
		return err
	}
	token, err := p.Job.ClientLink(c.Request().Context(), who(c), of)
	if err != nil {
		return err
	}
	v, err := p.jobView(c)
	if err != nil {
		return err
	}
	v.ProgressHref, v.Done = p.base+web.ProgressPath+token, done["link"]
	return secret(c, http.StatusOK, web.Job, v)
}

// RenewLink lets the client's link work on.
func (p *Pages) RenewLink(c echo.Context) error {
	return p.changeLink(c, p.Job.RenewClientLink, "link-renewed")
}

// EndLink closes the client's view.
func (p *Pages) EndLink(c echo.Context) error {
	return p.changeLink(c, p.Job.EndClientLinks, "link-ended")
}

func (p *Pages) changeLink(c echo.Context, do func(context.Context, firm.Person, id.Job) error, said string) error {
	of, err := id.Parse[id.Job](c.Param("job"))
	if err == nil {
		err = do(c.Request().Context(), who(c), of)
	}
	if err != nil {
		return err
	}
	return seeOther(c, PlaceOf(c).JobPage(), said)
}
