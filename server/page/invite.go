package page

import (
	"net/http"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Invite is the page of codes that let people in for a job.
func (p *Pages) Invite(c echo.Context) error {
	_, v, err := p.invite(c)
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Invite, v)
}

func (p *Pages) invite(c echo.Context) (job.Job, web.InviteView, error) {
	ctx, by := c.Request().Context(), who(c)
	if err := firm.May(firm.Invite)(by); err != nil {
		return job.Job{}, web.InviteView{}, err
	}
	j, err := p.jobOf(c)
	if err != nil {
		return j, web.InviteView{}, err
	}
	waiting, err := p.Firm.Invitations(ctx, by)
	if err != nil {
		return j, web.InviteView{}, err
	}
	v := web.InviteView{Sheet: p.Sheet(c, "Ask somebody in"), Trades: invitable(by)}
	v.Job = j.Name
	v.Next = web.Next{Sentence: "Choose what the person does, then let them point their phone at yours."}
	for _, i := range waiting {
		v.Waiting = append(v.Waiting, web.InvitationRow{ID: i.ID.String(), For: InvitedAs(i), By: i.ByName,
			Printed: i.Printed, Ends: i.EndsAt, At: v.At})
	}
	return j, v, nil
}

// invitable are what a person may ask others in as.
func invitable(by firm.Person) (out []web.Option) {
	for _, t := range words.Trades {
		if t != words.Foreman && t != words.Client {
			out = append(out, web.Option{Value: string(t), Label: t.String()})
		}
	}
	if firm.MayInvite(by, firm.Invitation{Role: firm.Foreman}) == nil {
		out = append(out, web.Option{Value: string(words.Foreman), Label: "foreman, who sees every job"})
	}
	return out
}

// InvitedAs says what an invitation makes of whoever uses it: "electrician on
// 14 Orchard Row".
func InvitedAs(i firm.Invitation) string {
	switch {
	case i.Role == firm.Foreman:
		return "foreman"
	case i.EveryJob:
		return i.Trade.String() + " on every job"
	}
	return i.Trade.String() + " on " + strings.Join(i.JobNames, ", ")
}

// AskIn makes a code for a job and shows it, this once.
func (p *Pages) AskIn(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	j, v, err := p.invite(c)
	if err != nil {
		return err
	}
	i := firm.Invitation{Role: firm.Trade, Trade: words.Trade(f.Get("as")), Jobs: []id.Job{j.ID},
		Printed: f.Get("on") == "paper"}
	if i.Trade == words.Foreman {
		i = firm.Invitation{Role: firm.Foreman, Printed: i.Printed}
	}
	made, code, err := p.Firm.Invite(c.Request().Context(), who(c), i)
	if fields, ok := mendable(err); ok {
		v.Faults, v.As = renamed(fields, "trade", "as"), f.Get("as")
		return Draw(c, mendStatus(err), web.Invite, v)
	}
	if err != nil {
		return err
	}
	v.Code, err = web.NewCodeSheet(p.base+web.InvitedPath+code, InvitedAs(made), made.EndsAt, made.Printed)
	if err != nil {
		return err
	}
	v.Next = web.Next{Sentence: "Let the person point their phone's camera at the code. It is shown this once."}
	if made.Printed {
		v.Next.Sentence = "Print this page now and give it to the person. The code is shown this once."
	}
	return secret(c, http.StatusOK, web.Invite, v)
}

// TakeBack takes a code back that nobody has used.
func (p *Pages) TakeBack(c echo.Context) error {
	of, err := id.Parse[id.Invitation](c.Param("invitation"))
	if err == nil {
		_, err = p.jobOf(c)
	}
	if err == nil {
		err = p.Firm.RevokeInvitation(c.Request().Context(), who(c), of)
	}
	if err != nil {
		return err
	}
	return seeOther(c, PlaceOf(c).Invite(), "taken-back")
}

// Invited shows what a code is for, and uses nothing up: cameras and messages
// fetch an address before anybody has touched it.
func (p *Pages) Invited(c echo.Context) error {
	v, err := p.invited(c)
	if err != nil {
		return p.orNoCode(c, err)
	}
	return secret(c, http.StatusOK, web.Invited, v)
}

func (p *Pages) invited(c echo.Context) (web.InvitedView, error) {
	code := c.Param("token")
	i, f, err := p.Firm.InvitationByCode(c.Request().Context(), code)
	if err != nil {
		return web.InvitedView{}, err
	}
	v := web.InvitedView{Sheet: p.Sheet(c, "You are asked in"), Code: code, Of: f.Name, For: InvitedAs(i), By: i.ByName,
		Ends: i.EndsAt}
	v.Next = web.Next{Sentence: "Write your name, and you work for " + f.Name + " on this phone."}
	return v, nil
}

// Join uses a code up, and whoever came with it is in.
func (p *Pages) Join(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	v, err := p.invited(c)
	if err != nil {
		return p.orNoCode(c, err)
	}
	by, session, err := p.Firm.Join(c.Request().Context(), c.Param("token"), f.Get("name"))
	if fields, ok := mendable(err); ok {
		v.Faults, v.Name = fields, f.Get("name")
		return secret(c, mendStatus(err), web.Invited, v)
	}
	if err != nil {
		return p.orNoCode(c, err)
	}
	return p.begin(c, by, session)
}

// orNoCode is one and the same answer for a code that was used, taken back, over,
// or never made.
func (p *Pages) orNoCode(c echo.Context, err error) error {
	if fault.KindOf(err) != fault.NotFound {
		return err
	}
	v := web.NoCodeView{Sheet: p.Sheet(c, "The way in")}
	v.Next = web.Next{Sentence: "This code leads nowhere any more. Ask whoever gave it to you for a new one."}
	return secret(c, http.StatusNotFound, web.NoCode, v)
}

// secret draws a page that holds a secret, or comes of one: nobody keeps it and
// no search engine lists it.
func secret[V any](c echo.Context, status int, p web.Page[V], view V) error {
	h := c.Response().Header()
	h.Set(echo.HeaderCacheControl, "no-store")
	h.Set("X-Robots-Tag", "noindex, nofollow")
	return Draw(c, status, p, view)
}
