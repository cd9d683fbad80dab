package jobs

import (
	"net/http"

	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Progress is one job as its client sees it, behind a private link: no
// mistakes, no names of people on site, no measurements. Nobody keeps a copy and no
// search engine lists it.
func (p *Pages) Progress(c echo.Context) error {
	h := c.Response().Header()
	h.Set(echo.HeaderCacheControl, "no-store")
	h.Set("X-Robots-Tag", "noindex, nofollow")
	got, err := p.Book.Progress(c.Request().Context(), c.Param("link"))
	if err != nil {
		return err
	}
	v := web.ProgressView{Sheet: web.Sheet{Title: "Progress", Firm: got.Firm, Job: got.Job, Date: p.Now(), Zone: got.Zone},
		Rooms: got.Rooms}
	when, err := p.Programme.ReadClient(c.Request().Context(), c.Param("link"))
	if err != nil {
		return err
	}
	v.When = when.Programme
	v.Next = web.Next{Sentence: "Nothing needed from you. Work is under way."}
	if n := v.Waiting(); n > 0 {
		v.Next.Sentence = words.Count(n, "decision") + " needed from you: the holes wait for it."
		if n > 1 {
			v.Next.Sentence = words.Count(n, "decision") + " needed from you: the holes wait for them."
		}
		v.Next.Sentence += " Tell " + got.Firm + " what you decide."
	}
	return kit.Draw(c, http.StatusOK, web.Progress, v)
}
