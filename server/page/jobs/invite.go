package jobs

import (
	"net/http"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Invite is the page of codes that people join a job with. It makes one and
// shows it, this once.
func (p *Pages) Invite() kit.Pair {
	return kit.Filled[web.InviteView]{May: firm.May(firm.Invite), Page: web.Invite, View: p.invite, Take: p.askIn,
		Names: []string{"trade", "as"}}.Pair()
}

func (p *Pages) invite(c echo.Context, typed web.Typed) (v web.InviteView, err error) {
	ctx, by := c.Request().Context(), kit.Who(c)
	j, err := p.JobOf(c)
	if err != nil {
		return v, err
	}
	waiting, err := p.Firm.Invitations(ctx, by)
	if err != nil {
		return v, err
	}
	v = web.InviteView{Sheet: p.Sheet(c, "Invite somebody"), Typed: typed, Trades: invitable(by), Waiting: waiting}
	v.Job = j.Name
	v.Next = web.Next{Sentence: "Choose what the person does, then let them scan the code from your phone."}
	return v, nil
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

func (p *Pages) askIn(c echo.Context, f *kit.Form) (to, said string, err error) {
	j, err := p.JobOf(c)
	if err != nil {
		return "", "", err
	}
	i := firm.Invitation{Role: firm.Trade, Trade: words.Trade(f.Get("as")), Jobs: []id.Job{j.ID},
		Printed: f.Get("on") == "paper"}
	if i.Trade == words.Foreman {
		i = firm.Invitation{Role: firm.Foreman, Printed: i.Printed}
	}
	v, err := p.invite(c, web.Typed{})
	if err != nil {
		return "", "", err
	}
	made, code, err := p.Firm.Invite(c.Request().Context(), kit.Who(c), i)
	if err != nil {
		return "", "", err
	}
	v.Code, err = web.NewCodeSheet(p.BaseURL+web.InvitedPath+code, made.Becomes(), made.EndsAt, made.Printed)
	if err != nil {
		return "", "", err
	}
	v.Next = web.Next{Sentence: "Let the person point their phone's camera at the code. It is shown only this once."}
	if made.Printed {
		v.Next.Sentence = "Print this page now and give it to the person. The code is shown only this once."
	}
	return "", "", kit.Secret(c, http.StatusOK, web.Invite, v)
}

// TakeBack takes a code back that nobody has used.
func (p *Pages) TakeBack(c echo.Context) error {
	if _, err := p.JobOf(c); err != nil {
		return err
	}
	return kit.Press(c, "invitation", p.Firm.RevokeInvitation, kit.PlaceOf(c).Invite(), "taken-back")
}
