package page

import (
	"net/http"

	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Progress is one job as its client sees it, behind a private link: no
// mistakes, no names of tradesmen, no measurements. Nobody keeps a copy and no
// search engine lists it.
func (p *Pages) Progress(c echo.Context) error {
	h := c.Response().Header()
	h.Set(echo.HeaderCacheControl, "no-store")
	h.Set("X-Robots-Tag", "noindex, nofollow")
	got, err := p.Book.Progress(c.Request().Context(), c.Param("link"))
	if err != nil {
		return err
	}
	v := web.ProgressView{Sheet: web.Sheet{Title: "How it goes", Job: got.Job, Date: p.Now()}}
	for _, r := range got.Rooms {
		v.Rooms = append(v.Rooms, clientRoom(r))
		for _, d := range r.Decisions {
			v.Waiting = append(v.Waiting, web.ClientChoice{Room: r.Name, What: "the " + d.Kind, Reason: words.Capital(d.Why)})
		}
	}
	v.Next = web.Next{Sentence: "Nothing waits for you. The work goes on."}
	if n := len(v.Waiting); n > 0 {
		v.Next.Sentence = words.Count(n, "choice") + " of yours to make: the holes wait for it."
	}
	return Draw(c, http.StatusOK, web.Progress, v)
}

func clientRoom(r standing.RoomProgress) web.ProgressRoom {
	out := web.ProgressRoom{Name: r.Name, Next: "This room is finished.", Earliest: r.Earliest}
	for i, state := range r.States {
		if out.Stages[i] = web.State(state.String()); state == words.SignedOff {
			out.Signed[i] = r.Signed[i]
		}
	}
	if !r.Done {
		out.Next = words.Capital(r.Next.String()) + " is next."
		if r.States[r.Next] != words.Waiting {
			out.Next = words.Capital(r.Next.String()) + " is in hand."
		}
	}
	return out
}
