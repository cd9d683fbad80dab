package kit

import (
	"context"
	"net/http"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Scene is a room as the person looks at it who asks.
type Scene struct {
	By     firm.Person
	At     web.Place
	J      *standing.Standing
	People People
	Here   []firm.Person
	Sheet  web.Sheet
}

// People are everybody of the firm, those who left too, by id.
type People map[id.Member]firm.Person

// Everyone returns everybody of the firm.
func (p *House) Everyone(ctx context.Context, by firm.Person) (People, error) {
	out, _, err := p.everyone(ctx, by)
	return out, err
}

// everyone returns everybody of the firm, and those on site who have not left.
func (p *House) everyone(ctx context.Context, by firm.Person) (out People, here []firm.Person, err error) {
	all, err := p.Firm.Members(ctx, by)
	if err != nil {
		return nil, nil, err
	}
	out = People{}
	for _, m := range all {
		out[m.ID] = m.Person
		if m.LeftAt.IsZero() && m.Role != firm.Client {
			here = append(here, m.Person)
		}
	}
	return out, here, nil
}

// initialled is everybody but one by their initials; who left stays so.
func (p People) initialled(but id.Member) People {
	out := People{}
	for m, one := range p {
		if m != but && !strings.HasPrefix(one.Name, firm.Left) {
			one.Name = one.Initials()
		}
		out[m] = one
	}
	return out
}

// Name is a member's name; for nobody of the firm it is empty.
func (p People) Name(m id.Member) string { return p[m].Name }

// WithTrade is "Ola Brandt, electrician".
func (p People) WithTrade(m id.Member) string {
	one, ok := p[m]
	if !ok {
		return ""
	}
	return one.Name + ", " + one.Does()
}

// inTrade says a trade in words, with the name where only one of the firm has
// it.
func (p People) inTrade(t words.Trade) string {
	if t == "" {
		return ""
	}
	found := ""
	for _, one := range p {
		if TradeOf(one) == t && one.Role != firm.Owner {
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

// RoomID is the room that the address names.
func RoomID(c echo.Context) (id.Room, error) { return id.Parse[id.Room](c.Param("room")) }

// Scene reads the room that the address names.
func (p *House) Scene(c echo.Context, title string) (*Scene, error) {
	v, j, err := p.Read(c)
	if err != nil {
		return nil, err
	}
	return v.Scene(j, title), nil
}

// Say puts a sentence of the page's own, without an action, in the place of
// the one thing next: the page's form is the action.
func (s *Scene) Say(sentence string) {
	if !s.Closed() {
		s.Sheet.Next = web.Next{Sentence: sentence}
	}
}

// ClosedNext stands on the pages of a closed job.
var ClosedNext = web.Next{Sentence: "This job is closed: there is nothing to do here."}

// Closed reports whether the room's job is closed: then it is only read.
func (s *Scene) Closed() bool { return !s.J.Record.JobClosed.IsZero() }

// Runs reports whether the person may do what the foreman does.
func (s *Scene) Runs() bool { return firm.MayRunJobs(s.By) == nil && !s.Closed() }

// Open reports whether a part of the record can be changed.
func (s *Scene) Open(part gate.Part) bool { return !s.Closed() && !gate.Frozen(s.J.Gate.Gates, part) }

// SurfaceName is a surface's name, as at the head of its part of the page.
func (s *Scene) SurfaceName(of id.Surface) string {
	if on, err := s.J.Record.Surface(of); err == nil {
		return words.Capital(on.Name)
	}
	return ""
}

// MendStatus is the status of a form that is drawn again.
func MendStatus(err error) int {
	if fault.KindOf(err) == fault.Conflict {
		return http.StatusConflict
	}
	return http.StatusBadRequest
}

// StageOf is the stage that the address names.
func StageOf(c echo.Context) (words.Stage, error) {
	return StageNamed(c.Param("stage"))
}
