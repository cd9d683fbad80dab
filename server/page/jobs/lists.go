package jobs

import (
	"net/http"

	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Across is what the pages across jobs are drawn from.
type Across struct {
	// Seqs are the last numbers of all diaries, read before all else.
	Seqs map[string]int64
	Jobs []job.Job
	// Rooms are all that the viewer sees, job by job.
	Rooms []*standing.Standing
	// Broken are the others, whose records can't be read.
	Broken []standing.Broken
}

// ReadAcross reads what the pages across jobs are drawn from, for who asks.
func ReadAcross(c echo.Context, p *kit.House) (a Across, err error) {
	ctx, by := c.Request().Context(), kit.Who(c)
	if a.Seqs, err = p.Seqs(c); err != nil {
		return a, err
	}
	if a.Rooms, a.Broken, err = p.Book.AllAndBroken(ctx, by, room.Scope{}); err != nil {
		return a, err
	}
	a.Jobs, err = p.Job.Jobs(ctx, by)
	return a, err
}

// list answers with a page across jobs.
func list[V any](c echo.Context, p *Pages, page web.Page[V], draw func(kit.Viewer, Across) V) error {
	a, err := ReadAcross(c, p.House)
	if err != nil {
		return err
	}
	v, err := p.Viewer(c)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, page, draw(v, a))
}
