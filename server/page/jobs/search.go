package jobs

import (
	"net/http"

	"lathmark/domain/job"
	"lathmark/server/page/kit"
	"lathmark/web"
	"lathmark/web/drawing"

	"github.com/labstack/echo/v4"
)

// Search finds jobs, rooms and positions by name, closed ones too.
func (p *Pages) Search(c echo.Context) error {
	v := web.SearchView{Sheet: p.Sheet(c, "Search"), Typed: web.Typed{Sent: c.QueryParams()}}
	v.Next = web.Next{Sentence: "Find a job, a room or a position by part of its name."}
	hits, err := p.Job.Search(c.Request().Context(), kit.Who(c), v.Value("q"))
	status := http.StatusOK
	if fields, ok := kit.Mendable(err); ok {
		v.Faults, status = fields, kit.MendStatus(err)
	} else if err != nil {
		return err
	}
	for _, h := range hits {
		v.Hits = append(v.Hits, hit(h))
	}
	if len(hits) == job.MaxHits {
		v.Most = job.MaxHits
	}
	return kit.Draw(c, status, web.Search, v)
}

// hit is one thing that was found, as the page shows it.
func hit(h job.Hit) web.SearchHit {
	out := web.SearchHit{Name: h.JobName, Kind: "job", Where: h.Address, Closed: h.ClosedAt,
		Href: web.Place{Job: h.Job.String()}.JobPage()}
	if !h.Room.IsZero() {
		out.Name, out.Kind, out.Where = h.RoomName, "room", h.JobName
		out.Href = web.Place{Room: h.Room.String()}.RoomPage()
	}
	if !h.Position.IsZero() {
		out.Name, out.Kind, out.Where = h.Name, "position", h.RoomName+", "+h.JobName
		out.Href += "#" + drawing.RowAnchor(h.Surface.String(), "position", h.Name)
	}
	return out
}
