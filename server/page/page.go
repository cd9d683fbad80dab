// Package page draws the pages and takes their forms: one file per action. A
// form that has to be mended is drawn again with what was typed; one that is
// taken is answered with a redirect.
package page

import (
	"bytes"
	"net/http"
	"strings"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/photo"
	"lathmark/domain/stage"
	"lathmark/domain/standing"
	"lathmark/domain/subjectdata"
	"lathmark/domain/visit"
	"lathmark/domain/words"
	"lathmark/server/auth"
	"lathmark/server/oidc"
	"lathmark/server/passkey"
	"lathmark/server/picture"
	"lathmark/web"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// Services are what handlers call.
type Services struct {
	Firm  *firm.Service
	Job   *job.Service
	Room  *deed.Service
	Stage *stage.Service
	Book  *standing.Book
	Diary *diary.Service
	Visit *visit.Service
	Photo *photo.Service
	Held  *subjectdata.Service
	// Now is the clock that the services have too.
	Now func() time.Time
}

// Pages are the handlers of all pages.
type Pages struct {
	Services
	sessions *auth.Sessions
	way      auth.SignIn
	// providers are those to come in with; nil: none.
	providers *oidc.Providers
	passkeys  *passkey.Verifier // nil: no passkeys here
	base      string            // of addresses in full, without a slash at its end
	pictures  *picture.Developer
}

// New makes the pages; base is how people reach the server.
func New(s Services, sessions *auth.Sessions, way auth.SignIn, providers *oidc.Providers, base string) *Pages {
	return &Pages{Services: s, sessions: sessions, way: way, providers: providers, base: strings.TrimSuffix(base, "/"),
		pictures: picture.NewDeveloper(), passkeys: passkey.NewVerifier(s.Firm, base)}
}

// Draw answers with a page.
func Draw[V any](c echo.Context, status int, p web.Page[V], view V) error {
	var b bytes.Buffer
	if err := web.Render(&b, p, view); err != nil {
		return err
	}
	return c.HTMLBlob(status, b.Bytes())
}

// PlaceOf is the place that the address of the request names.
func PlaceOf(c echo.Context) web.Place { return web.Place{Job: c.Param("job"), Room: c.Param("room")} }

// Sheet is what every page has: the title block without job and room.
func (p *Pages) Sheet(c echo.Context, title string) web.Sheet {
	s := web.Sheet{At: PlaceOf(c), Token: uuid.Must(uuid.NewV7()).String(), Title: title, Date: p.Now(),
		Done: done[c.QueryParam("done")]}
	if a, ok := auth.Who(c); ok {
		s.Firm, s.FirmID, s.Person = a.FirmName, a.Person.Firm.String(), person(a.Person)
	}
	return s
}

// seqs are the last numbers of all diaries of the firm, for a page across jobs.
// They are read before what the page shows: it may show more than they say,
// never less.
func (p *Pages) seqs(c echo.Context) (map[string]int64, error) {
	last, err := p.Services.Diary.Last(c.Request().Context(), who(c))
	out := map[string]int64{}
	for job, seq := range last {
		out[job.String()] = seq
	}
	return out, err
}

// person is somebody as pages name him.
func person(p firm.Person) web.Person {
	out := web.Person{ID: p.ID.String(), Name: p.Name, Initials: p.Initials(), Trade: string(p.Role),
		Foreman: firm.MayRunJobs(p) == nil}
	if p.Role == firm.Trade {
		out.Trade = p.Trade.String()
	}
	return out
}

// tradeOf is whose tasks a person has: the owner does the foreman's.
func tradeOf(p firm.Person) words.Trade {
	switch p.Role {
	case firm.Trade:
		return p.Trade
	case firm.Client:
		return words.Client
	}
	return words.Foreman
}

// WayBack leads to the nearest page that is there for sure.
func WayBack(at web.Place) web.Next {
	switch {
	case at.Room != "":
		return web.Next{Sentence: "Go back to the room.", Action: "The room", Href: at.RoomPage()}
	case at.Job != "":
		return web.Next{Sentence: "Go back to the job.", Action: "The job", Href: at.JobPage()}
	}
	return web.Next{Sentence: "Go back to your jobs.", Action: "Your jobs", Href: web.Home}
}

// seeOther answers a form that was taken: look at another page, which says
// what was just put on record.
func seeOther(c echo.Context, to, said string) error {
	if said != "" {
		to += "?done=" + said
	}
	return c.Redirect(http.StatusSeeOther, to)
}

// who is the person who asks; auth.Need stands before every handler that
// calls it.
func who(c echo.Context) firm.Person {
	a, _ := auth.Who(c)
	return a.Person
}
