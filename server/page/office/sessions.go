package office

import (
	"net/http"
	"slices"

	"lathmark/domain/firm"
	"lathmark/domain/words"
	"lathmark/server/auth"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Sessions are where one is signed in.
func (p *Pages) Sessions(c echo.Context) error {
	by, _ := auth.Who(c)
	all, err := p.Firm.Sessions(c.Request().Context(), by.Person)
	if err != nil {
		return err
	}
	v := web.SessionsView{Sheet: p.Sheet(c, "Where you are signed in"), Rows: all, Here: by.Session.ID,
		MayMakeKeys: firm.MayMakeKeys(by.Person) == nil, MayAdd: p.Passkeys != nil,
		Called:  c.QueryParam("called"),
		Changed: slices.Contains([]string{"passkey", "passkey-away", "account"}, c.QueryParam("done")),
		MayTie:  len(p.Providers.Buttons()) > 0}
	if v.Passkeys, err = p.Firm.Passkeys(c.Request().Context(), by.Person); err != nil {
		return err
	}
	here := func(s firm.Session) int {
		if s.ID == by.Session.ID {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(v.Rows, func(a, b firm.Session) int { return here(a) - here(b) })
	v.Next = web.Next{Sentence: "You are signed in here and nowhere else."}
	if len(all) > 1 {
		v.Next.Sentence = "You are signed in on " + words.Count(len(all), "device") +
			". Sign out where you no longer work."
	}
	return kit.Draw(c, http.StatusOK, web.Sessions, v)
}

// EndSession signs out on one other device.
func (p *Pages) EndSession(c echo.Context) error {
	return kit.Press(c, "session", p.Firm.EndOwnSession, web.SessionsPath, "signed-out")
}

// EndOthers signs out everywhere else.
func (p *Pages) EndOthers(c echo.Context) error {
	by, _ := auth.Who(c)
	if err := p.Firm.EndOtherSessions(c.Request().Context(), by.Person, by.Session.ID); err != nil {
		return err
	}
	return kit.SeeOther(c, web.SessionsPath, "signed-out-else")
}

// AnotherDevice shows a code that signs the person in on another device.
func (p *Pages) AnotherDevice(c echo.Context) error {
	link, ends, err := p.Firm.NewDeviceLink(c.Request().Context(), kit.Who(c))
	if err != nil {
		return err
	}
	v := web.DeviceView{Sheet: p.Sheet(c, "Another device")}
	v.Next = web.Next{Sentence: "Point the other device's camera at the code. It is shown only this once."}
	if v.Code, err = web.NewCodeSheet(p.BaseURL+web.OneTimeLinkPath+link, "Signs you in on another device", ends,
		false); err != nil {
		return err
	}
	v.Ways = p.SignIns(link)
	return kit.Secret(c, http.StatusOK, web.Device, v)
}
