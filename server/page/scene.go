package page

import (
	"context"
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// scene is a room as the person looks at it who asks.
type scene struct {
	by     firm.Person
	at     web.Place
	j      *standing.Standing
	people people
	sheet  web.Sheet
}

// people are everybody of the firm, those who left too, by id.
type people map[id.Member]firm.Person

func (p *Pages) people(ctx context.Context, by firm.Person) (people, error) {
	all, err := p.Firm.Members(ctx, by)
	if err != nil {
		return nil, err
	}
	out := people{}
	for _, m := range all {
		out[m.ID] = m.Person
	}
	return out, nil
}

// name is a member's name; for nobody of the firm it is empty.
func (p people) name(m id.Member) string { return p[m].Name }

// withTrade is "Ola Brandt, electrician".
func (p people) withTrade(m id.Member) string {
	one, ok := p[m]
	if !ok {
		return ""
	}
	return one.Name + ", " + person(one).Trade
}

// inTrade says a trade in words, with the name where only one of the firm has
// it.
func (p people) inTrade(t words.Trade) string {
	if t == "" {
		return ""
	}
	found := ""
	for _, one := range p {
		if tradeOf(one) == t && one.Role != firm.Owner {
			if found != "" {
				return t.String()
			}
			found = one.Name + ", " + t.String()
		}
	}
	if found == "" {
		return t.String()
	}
	return found
}

// roomID is the room that the address names.
func roomID(c echo.Context) (id.Room, error) { return id.Parse[id.Room](c.Param("room")) }

// inRoom is the room that the address names and, by the parameter's name, one
// of its records.
func inRoom[T ~[16]byte](c echo.Context, param string) (of id.Room, one T, err error) {
	if of, err = roomID(c); err == nil {
		one, err = id.Parse[T](c.Param(param))
	}
	return of, one, err
}

// scene reads the room that the address names.
func (p *Pages) scene(c echo.Context, title string) (*scene, error) {
	of, err := roomID(c)
	if err != nil {
		return nil, err
	}
	by, ctx := who(c), c.Request().Context()
	j, err := p.Room.Read(ctx, by, of)
	if err != nil {
		return nil, err
	}
	all, err := p.people(ctx, by)
	if err != nil {
		return nil, err
	}
	s := &scene{by: by, j: j, people: all, at: web.Place{Job: j.Record.Job.String(), Room: j.Record.ID.String()},
		sheet: p.Sheet(c, title)}
	s.sheet.At, s.sheet.Job, s.sheet.Room, s.sheet.Seq = s.at, j.Record.JobName, j.Record.Name, j.Seq
	s.sheet.Turn = all.inTrade(j.Gate.WhoNext())
	s.sheet.Next = nextOf(s.at, j, tradeOf(by))
	if s.sheet.Closed = j.Record.JobClosed; s.closed() {
		s.sheet.Turn, s.sheet.Next = "", closedNext
	}
	return s, nil
}

// closed reports whether the room's job is closed: then it is only read.
func (s *scene) closed() bool { return !s.j.Record.JobClosed.IsZero() }

// say puts a sentence of the page's own, without an action, in the place of
// the one thing next: the page's form is the action.
func (s *scene) say(sentence string) {
	if !s.closed() {
		s.sheet.Next = web.Next{Sentence: sentence}
	}
}

// runs reports whether the person may do what the foreman does.
func (s *scene) runs() bool { return firm.MayRunJobs(s.by) == nil && !s.closed() }

// open reports whether a part of the record can be changed.
func (s *scene) open(part gate.Part) bool { return !s.closed() && !gate.Frozen(s.j.Gate.Gates, part) }

// surfaceName is a surface's name, as at the head of its part of the page.
func (s *scene) surfaceName(of id.Surface) string {
	if on, err := s.j.Record.Surface(of); err == nil {
		return words.Capital(on.Name)
	}
	return ""
}

// taken answers a form after the service was called: a form that has to be
// mended is drawn again over the room as it stands, all else goes on to a page
// that says what is on record.
func (p *Pages) taken(c echo.Context, err error, to, said, title string,
	again func(s *scene, status int, faults []fault.Field) error) error {
	if err == nil {
		return seeOther(c, to, said)
	}
	fields, ok := mendable(err)
	if !ok {
		return err
	}
	s, readErr := p.scene(c, title)
	if readErr != nil {
		return readErr
	}
	return again(s, mendStatus(err), fields)
}

// mendStatus is the status of a form that is drawn again.
func mendStatus(err error) int {
	if fault.KindOf(err) == fault.Conflict {
		return http.StatusConflict
	}
	return http.StatusBadRequest
}

// stageOf is the stage that the address names.
func stageOf(c echo.Context) (words.Stage, error) {
	return stageNamed(c.Param("stage"))
}
