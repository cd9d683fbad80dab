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
	v := web.SessionsView{Sheet: p.Sheet(c, "Where you are signed in"), Others: len(all) > 1,
		MayMakeKeys: firm.MayMakeKeys(by.Person) == nil}
	for _, s := range all {
		v.Rows = append(v.Rows, web.SessionRow{ID: s.ID.String(), Device: deviceOf(s), Here: s.ID == by.Session,
			Since: s.CreatedAt, Seen: s.SeenAt, EndsDay: s.EndsAt})
	}
	keys, err := p.Firm.Passkeys(c.Request().Context(), by.Person)
	if err != nil {
		return err
	}
	v.MayAdd, v.MayTie = p.Passkeys != nil, len(p.Providers.Buttons()) > 0
	v.Passkeys = passkeyRows(keys)
	slices.SortStableFunc(v.Rows, func(a, b web.SessionRow) int {
		switch {
		case a.Here == b.Here:
			return 0
		case a.Here:
			return -1
		}
		return 1
	})
	v.Next = web.Next{Sentence: "You are signed in here and nowhere else."}
	if v.Others {
		v.Next.Sentence = "You are signed in on " + words.Count(len(all), "device") +
			". Sign out where you do not work any more."
	}
	return kit.Draw(c, http.StatusOK, web.Sessions, v)
}

func passkeyRows(keys []firm.Passkey) (rows []web.PasskeyRow) {
	for _, k := range keys {
		rows = append(rows, web.PasskeyRow{ID: k.ID.String(), Name: k.Name, Made: k.CreatedAt, Used: k.UsedAt})
	}
	return rows
}

func deviceOf(s firm.Session) string {
	if s.Device == "" {
		return auth.Device("")
	}
	return s.Device
}

// EndSession signs out on one other device.
func (p *Pages) EndSession(c echo.Context) error {
	return kit.Press(c, "session", p.Firm.EndOwnSession, web.SessionsPath, "signed-out")
}

// EndOthers signs out everywhere else.
func (p *Pages) EndOthers(c echo.Context) error {
	by, _ := auth.Who(c)
	if err := p.Firm.EndOtherSessions(c.Request().Context(), by.Person, by.Session); err != nil {
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
	v.Next = web.Next{Sentence: "Point the other device's camera at the code. It is shown this once."}
	if v.Code, err = web.NewCodeSheet(p.BaseURL+web.OneTimeLinkPath+link, "Signs you in on another device", ends,
		false); err != nil {
		return err
	}
	v.Ways = p.WaysIn(link)
	return kit.Secret(c, http.StatusOK, web.Device, v)
}
