package kit

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/photo"
	"lathmark/domain/programme"
	"lathmark/domain/standing"
	"lathmark/domain/subjectdata"
	"lathmark/domain/words"
	"lathmark/server/auth"
	"lathmark/server/oidc"
	"lathmark/server/passkey"
	"lathmark/server/picture"
	"lathmark/server/turn"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// StageNamed reads a stage as it stands in an address.
func StageNamed(text string) (words.Stage, error) {
	s, err := words.ParseStage(strings.ReplaceAll(text, "-", "_"))
	if err != nil {
		return s, &fault.Error{Kind: fault.NotFound, Msg: "There is no such stage.", Err: err}
	}
	return s, nil
}

// Secret draws a page that holds a secret, or comes of one: nobody keeps it and
// no search engine lists it.
func Secret[V any](c echo.Context, status int, p web.Page[V], view V) error {
	h := c.Response().Header()
	h.Set(echo.HeaderCacheControl, "no-store")
	h.Set("X-Robots-Tag", "noindex, nofollow")
	return Draw(c, status, p, view)
}

// JobOf reads the job that the address names.
func (p *House) JobOf(c echo.Context) (job.Job, error) {
	of, err := id.Parse[id.Job](c.Param("job"))
	if err != nil {
		return job.Job{}, err
	}
	return p.Job.Job(c.Request().Context(), Who(c), of)
}

// MemberID is the member that the address names.
func MemberID(c echo.Context) (id.Member, error) { return id.Parse[id.Member](c.Param("member")) }

// Services are what handlers call.
type Services struct {
	Firm  *firm.Service
	Job   *job.Service
	Desk  *deed.Desk
	Book  *standing.Book
	Diary *diary.Service
	Photo *photo.Service
	Held  *subjectdata.Service
	// Programme says who comes when.
	Programme *programme.Service
	// Now is the clock that the services have too.
	Now func() time.Time
}

// House is what the handlers of all pages stand on.
type House struct {
	Services
	Auth *auth.Sessions
	Way  auth.SignIn
	// Providers are those to sign in with; nil: none.
	Providers *oidc.Providers
	Passkeys  *passkey.Verifier // nil: no passkeys here
	BaseURL   string            // of addresses in full, without a slash at its end
	Turns     *turn.Turns       // for what is expensive
	Pictures  *picture.Developer
}

// New makes the house; base is how people reach the server.
func New(s Services, sessions *auth.Sessions, way auth.SignIn, providers *oidc.Providers, base string,
	turns *turn.Turns) *House {
	return &House{Services: s, Auth: sessions, Way: way, Providers: providers, BaseURL: strings.TrimSuffix(base, "/"),
		Turns: turns, Pictures: &picture.Developer{Turns: turns}, Passkeys: passkey.NewVerifier(s.Firm, base)}
}

// InTurn has something expensive done when it is the turn of whoever asks. What is answered
// is written afterwards, so that nobody waits for a slow reader.
func (p *House) InTurn(c echo.Context, do func(pause func() error) error) error {
	by := Who(c)
	return p.Turns.Do(c.Request().Context(), turn.Usual(by.Firm.String(), by.ID.String()), do)
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

// Sheet is what every page has, at the place that the address names.
func (p *House) Sheet(c echo.Context, title string) web.Sheet {
	s := p.Looker(c).Sheet(title)
	s.At = PlaceOf(c)
	return s
}

// Seqs are the last numbers of all diaries of the firm, for a page across jobs.
// They are read before what the page shows: it may show more than they say,
// never less.
func (p *House) Seqs(c echo.Context) (map[string]int64, error) {
	last, err := p.Services.Diary.Last(c.Request().Context(), Who(c))
	out := map[string]int64{}
	for job, seq := range last {
		out[job.String()] = seq
	}
	return out, err
}

// Named is a person as pages name them.
func Named(p firm.Person) web.Person {
	return web.Person{ID: p.ID.String(), Name: p.Name, Initials: p.Initials(), Trade: p.Does(),
		Foreman: firm.MayRunJobs(p) == nil}
}

// TradeOf is whose tasks a person has: the owner does the foreman's.
func TradeOf(p firm.Person) words.Trade {
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
		return web.Next{Sentence: "Go back to the room.", Action: "Go to the room", Href: at.RoomPage()}
	case at.Job != "":
		return web.Next{Sentence: "Go back to the job.", Action: "Go to the job", Href: at.JobPage()}
	}
	return web.Next{Sentence: "Go back to your jobs.", Action: "Go to your jobs", Href: web.Home}
}

// SeeOther answers a form that was taken: look at another page, which says
// what was just recorded. An address with a query says it by that.
func SeeOther(c echo.Context, to, said string) error {
	switch {
	case said != "" && Done(said) == "":
		return fmt.Errorf("no page can say %q", said)
	case said != "" && !strings.Contains(to, "?"):
		to += "?done=" + said
	}
	return c.Redirect(http.StatusSeeOther, to)
}

// Did is SeeOther after a deed.
func Did(c echo.Context, of deed.Kind, to string) error {
	if Done(string(of)) == "" {
		return SeeOther(c, to, "")
	}
	return SeeOther(c, to, string(of))
}

// Who is the person who asks; auth.Need stands before every handler that
// calls it.
func Who(c echo.Context) firm.Person {
	a, _ := auth.Who(c)
	return a.Person
}

// AnswerLimit is the most that a device's answer weighs, in bytes: a key, a
// signature and some names are under 4 kB.
const AnswerLimit = 64 << 10

// Unkept answers a script with what no cache may keep.
func Unkept(c echo.Context, answer any) error {
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	return c.JSON(http.StatusOK, answer)
}

// CountPeople is "1 person", "3 people".
func CountPeople(n int) string {
	if n == 1 {
		return "1 person"
	}
	return strings.TrimSuffix(words.Count(n, "person"), "persons") + "people"
}

// Begin hands the session out and goes where the person's work is.
func (p *House) Begin(c echo.Context, by firm.Person, session string) error {
	if err := p.Auth.Begin(c, session); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, WorkOf(by))
}

// WorkOf returns the page where a person's work is.
func WorkOf(by firm.Person) string {
	if firm.MayRunJobs(by) == nil {
		return web.Home
	}
	return web.TasksPath
}

// PlaceOfRoom is a room's place.
func PlaceOfRoom(j *standing.Standing) web.Place {
	return web.Place{Job: j.Record.Job.String(), Room: j.Record.ID.String()}
}

// PlaceOfTasks is the room of some tasks.
func PlaceOfTasks(r standing.RoomTasks) web.Place {
	return web.Place{Job: r.Job.String(), Room: r.Room.String()}
}

// SignIns are the providers to sign in with; link is used with whichever is taken.
func (p *House) SignIns(link string) []web.WayIn {
	var out []web.WayIn
	for _, b := range p.Providers.Buttons() {
		out = append(out, web.WayIn{Label: b.Label, Href: web.ProviderSignInPath + b.ID, Link: link})
	}
	return out
}
