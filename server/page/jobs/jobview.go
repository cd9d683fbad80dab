package jobs

import (
	"net/http"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// JobPage is one job.
func (p *Pages) JobPage(c echo.Context) error {
	v, err := p.jobView(c)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Job, v)
}

// jobSheet reads the job that the address names, with the sheet of a page of it.
func (p *Pages) jobSheet(c echo.Context, title string) (job.Job, web.Sheet, error) {
	j, err := p.JobOf(c)
	v := p.Sheet(c, title)
	v.Job, v.Seq, v.Closed = j.Name, j.Seq, j.ClosedAt
	if !j.Open() {
		v.Next = kit.ClosedNext
	}
	return j, v, err
}

func (p *Pages) jobView(c echo.Context) (web.JobView, error) {
	j, sheet, err := p.jobSheet(c, "Job")
	if err != nil {
		return web.JobView{}, err
	}
	by := kit.Who(c)
	all, err := p.Everyone(c.Request().Context(), by)
	if err != nil {
		return web.JobView{}, err
	}
	v := web.JobView{Sheet: sheet, MayEdit: firm.MayRunJobs(by) == nil && j.Open()}
	rooms, broken, err := p.Book.AllAndBroken(c.Request().Context(), by, room.Scope{Job: j.ID})
	if err != nil {
		return v, err
	}
	v.Table = tableOf(j, rooms, broken, all)
	if v.Person.Foreman {
		l, err := p.Job.Link(c.Request().Context(), by, j.ID)
		if err != nil {
			return v, err
		}
		v.ProgressMade, v.ProgressEnds = l.MadeAt, l.EndsAt
	}
	if !j.Open() {
		for i := range v.Table.Rooms { // nobody is next
			v.Table.Rooms[i].Next = ""
		}
		return v, nil
	}
	v.Next = web.Next{Sentence: "Nothing for you here today."}
	for _, r := range rooms {
		if r.Gate.Next(kit.TradeOf(by)).Task != nil {
			v.Next = kit.NextOf(kit.PlaceOfRoom(r), r, kit.TradeOf(by))
			v.Next.Sentence = r.Record.Name + ": " + v.Next.Sentence
			break
		}
	}
	if len(rooms)+len(broken) == 0 && v.MayEdit {
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
	token, err := p.Job.ClientLink(c.Request().Context(), kit.Who(c), of)
	if err != nil {
		return err
	}
	v, err := p.jobView(c)
	if err != nil {
		return err
	}
	v.ProgressHref, v.Done = p.BaseURL+web.ProgressPath+token, kit.Done("link")
	return kit.Secret(c, http.StatusOK, web.Job, v)
}

// RenewLink lets the client's link work on.
func (p *Pages) RenewLink(c echo.Context) error {
	return kit.Press(c, "job", p.Job.RenewClientLink, kit.PlaceOf(c).JobPage(), "link-renewed")
}

// EndLink closes the client's view.
func (p *Pages) EndLink(c echo.Context) error {
	return kit.Press(c, "job", p.Job.EndClientLinks, kit.PlaceOf(c).JobPage(), "link-ended")
}
