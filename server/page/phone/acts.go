package phone

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/server/page/kit"
	"lathmark/server/page/visits"
	"lathmark/web"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// mostActs is how many acts may come at once.
const mostActs = 50

// told is an answer as a phone is told it.
func told(a deed.Answer, on string) kit.Answer {
	return kit.Answer{ID: a.Act.String(), Answer: a.Word, Says: a.Says, Mine: a.Mine, Theirs: a.Theirs, Fields: a.Fields,
		Go: on}
}

// actSent is an act as it comes: a form that was filled in, when and where.
type actSent struct {
	ID   string     `json:"id"`
	Made string     `json:"made"`
	Kind deed.Kind  `json:"kind"`
	Room string     `json:"room"`
	At   string     `json:"at"`
	Copy int64      `json:"copy"`
	Form url.Values `json:"form"`
}

// Acts takes what somebody did without signal, in order, and answers for each.
// What cannot be read or done is refused by itself and does not stop the
// others. Where the house itself breaks, those that were answered by then are
// told, and the phone sends the others again.
func (p *Pages) Acts(c echo.Context) error {
	by := kit.Who(c)
	if err := firm.MayRecord(by); err != nil {
		return err
	}
	acts, err := readActs(c, by)
	if err != nil {
		return err
	}
	done, err := p.answered(c.Request().Context(), by, acts)
	if err != nil {
		return err
	}
	answers := []kit.Answer{}
	for _, text := range acts {
		a, err := p.takeAct(c.Request().Context(), by, text, done)
		if err == nil {
			answers = append(answers, a)
			continue
		}
		if len(answers) > 0 {
			break
		}
		if kind := fault.KindOf(err); kind != "" && kind != fault.Down { // of the moment: see deed.Desk.Take
			return &echo.HTTPError{Code: http.StatusServiceUnavailable, Message: "many are writing at once", Internal: err}
		}
		return err
	}
	return c.JSON(http.StatusOK, map[string]any{"answers": answers})
}

// readActs reads the request, and makes sure that they are this person's own.
func readActs(c echo.Context, by firm.Person) ([]json.RawMessage, error) {
	var in struct {
		Member string            `json:"member"`
		Acts   []json.RawMessage `json:"acts"`
	}
	if err := json.NewDecoder(c.Request().Body).Decode(&in); err != nil {
		var limit *echo.HTTPError
		if errors.As(err, &limit) {
			return nil, limit
		}
		return nil, &fault.Error{Kind: fault.BadInput, Msg: "What the phone sent cannot be read.", Err: err}
	}
	if member, err := id.Parse[id.Member](in.Member); err != nil || member != by.ID {
		return nil, &fault.Error{Kind: fault.Refused,
			Msg: "These belong to somebody else. They stay on the phone until that person signs in again."}
	}
	if len(in.Acts) > mostActs {
		return nil, &fault.Error{Kind: fault.BadInput, Msg: fmt.Sprintf("Send at most %d at once.", mostActs)}
	}
	return in.Acts, nil
}

// answered returns the answers of those of the acts that came before.
func (p *Pages) answered(ctx context.Context, by firm.Person, acts []json.RawMessage) (map[id.Act]deed.Answer, error) {
	var ids []id.Act
	for _, text := range acts {
		if act, err := id.Parse[id.Act](nameOf(text)); err == nil {
			ids = append(ids, act)
		}
	}
	return p.Desk.Answered(ctx, by, ids)
}

// nameOf reads the id alone; empty where even that cannot be read.
func nameOf(text json.RawMessage) string {
	var name struct {
		ID string `json:"id"`
	}
	if json.Unmarshal(text, &name) != nil {
		return ""
	}
	return name.ID
}

// takeAct takes one act. Errors are of the house; everything else is an answer.
func (p *Pages) takeAct(ctx context.Context, by firm.Person, text json.RawMessage,
	done map[id.Act]deed.Answer) (kit.Answer, error) {
	a, s, of, err := headOf(text)
	if err != nil {
		return refusedAs(nameOf(text), err, nil)
	}
	got, before := done[a.ID]
	if !before {
		// One that is on record is not read again: its room may have changed so
		// that its form no longer could be.
		if a.Deed, err = p.deedOf(ctx, by, a.Room, s, of); err != nil {
			return refusedAs(a.ID.String(), err, kit.OnForm(of))
		}
		if got, err = p.Desk.Take(ctx, by, a); err != nil {
			return kit.Answer{}, err
		}
	}
	got.Fields = kit.OnForm(of)(got.Fields)
	at := web.Place{Room: a.Room.String()}
	if got.Word == deed.Both {
		return told(got, at.RoomPage()+"#choices"), nil
	}
	return told(got, after(of.Kind, at, s)), nil
}

// after is the page to look at after an act: the form's own next page, but for a
// hole that is the list of holes.
func after(k deed.Kind, at web.Place, s *deed.Sent) string {
	if k == deed.KindOpen {
		return at.Holes()
	}
	to, _, _ := strings.Cut(visits.Posts[k].To(at, s), "#")
	return to
}

// refusedAs is the answer to an act that cannot be read; an error that is no
// fault of it is of the house.
func refusedAs(act string, err error, named func([]fault.Field) []fault.Field) (kit.Answer, error) {
	var f *fault.Error
	if !errors.As(err, &f) || f.Kind == fault.Down {
		return kit.Answer{}, err
	}
	out := kit.Answer{ID: act, Answer: deed.Refused, Says: f.Msg, Fields: f.Fields}
	if named != nil {
		out.Fields = named(f.Fields)
	}
	return out, nil
}

// headOf reads all of an act but what its form says. Faults: BadInput and
// NotFound, with what the person can do about it.
func headOf(text json.RawMessage) (a deed.Act, s *deed.Sent, of *deed.Sort, err error) {
	unread := func(says string) (deed.Act, *deed.Sent, *deed.Sort, error) {
		return a, s, of, &fault.Error{Kind: fault.BadInput, Msg: says + " Enter it again."}
	}
	var in actSent
	if json.Unmarshal(text, &in) != nil {
		return unread("The server could not read it.")
	}
	number, err := uuid.Parse(in.ID)
	if err != nil || number.Version() != 7 || len(in.ID) != 36 {
		return unread("It has no number.")
	}
	a.ID, a.Copy = id.Act(number), in.Copy
	if a.Made, err = time.Parse(time.RFC3339, in.Made); err != nil {
		return unread("It does not say when it was done.")
	}
	known := false
	if of, known = deed.Kinds[in.Kind]; !known || !of.FromPhones() {
		return unread("It does not say what was done.")
	}
	if a.Room, err = id.Parse[id.Room](in.Room); err != nil {
		return a, s, of, err
	}
	s = &deed.Sent{Form: &deed.Form{Values: in.Form, Token: number}}
	if s.Values == nil {
		s.Values = url.Values{}
	}
	address, err := url.Parse(in.At)
	if err != nil {
		return unread("It does not say which form it came from.")
	}
	form := false
	if s.One, form = of.One(a.Room, address.Path); !form {
		return unread("It does not say which form it came from.")
	}
	return a, s, of, nil
}

// deedOf reads what an act's form says.
func (p *Pages) deedOf(ctx context.Context, by firm.Person, in id.Room, s *deed.Sent, of *deed.Sort) (d deed.Deed,
	err error) {
	if of.Room {
		if s.Standing, err = p.Desk.Read(ctx, by, in); err != nil {
			return nil, err
		}
	}
	return of.Read(s)
}
