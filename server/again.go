package server

import (
	"net/http"
	"net/url"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/server/auth"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// freshly are the routes for which a sign-in of firm.FreshFor is too old: what adds a way
// in or takes one away, ends sessions, changes who belongs to the firm and as what, sets its rules, and
// takes records of people out or their names away. Each is asked of those whom the policy
// lets pass: a code of the owner's may let in a foreman, one that a foreman makes on site
// lets a trade into that job alone.
var freshly = func() map[string]firm.Policy {
	who, out := web.PersonAt(":member"), map[string]firm.Policy{
		http.MethodPost + " " + web.Place{Job: ":job"}.Invite(): firm.MayRunFirm}
	for _, path := range []string{web.OwnDataPath, who.Data(), web.SignInAgainPath} {
		out[http.MethodGet+" "+path] = firm.Anyone
	}
	for _, path := range []string{web.PasskeyBeginPath, web.PasskeysPath, web.EndPasskey(":passkey"), web.DevicePath,
		web.EndSession(":session"), web.OthersPath,
		web.KeysPath, web.FirmPath, web.PeoplePath, who.Page(), who.Link(), who.SignOut(), who.LetGo(), who.Forget(),
		who.EndSession(":session"), who.EndKey(":key"), who.EndPasskey(":passkey")} {
		out[http.MethodPost+" "+path] = firm.Anyone
	}
	return out
}()

// surely stands before everything that needs somebody signed in. It asks for the passkey
// that the firm wants, and for a sign-in again where the last is too old for the route.
// Keys are no sessions: what they may do is in their scope.
func (s *server) surely(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		a, there := auth.Who(c)
		route := c.Request().Method + " " + c.Path()
		lacks := s.desk.Passkeys != nil && a.Session.LacksPasskey() &&
			!(makesPasskey(route) && !a.Session.HasPasskey)
		of := freshly[route]
		stale := of != nil && of(a.Person) == nil && !a.Session.Fresh(s.Now())
		switch {
		case !there || a.Key != firm.NoKey:
		case lacks, stale:
			return s.askAgain(c, a)
		case c.QueryParam("as") != "" && c.QueryParam("as") != a.ID.String():
			return &fault.Error{Kind: fault.Conflict, Msg: "Somebody else has signed in here since this was filled in."}
		}
		return next(c)
	}
}

// makesPasskey reports whether a route is one of the two that make a passkey.
func makesPasskey(route string) bool {
	return route == http.MethodPost+" "+web.PasskeyBeginPath || route == http.MethodPost+" "+web.PasskeysPath
}

// askAgain answers with the page that asks who it is. It carries what was typed, and sends
// it where it was going to; a script or another program is nobody until then.
func (s *server) askAgain(c echo.Context, a auth.Asker) error {
	r := c.Request()
	if strings.HasPrefix(r.URL.Path, APIPrefix) || r.URL.Path == web.ActsPath || kit.AsksForJSON(c) {
		return auth.ErrNobody
	}
	v := web.ConfirmView{Sheet: s.desk.Sheet(c, "Is it you?"), HasPasskey: a.Session.HasPasskey && s.desk.Passkeys != nil,
		Minutes: int(firm.FreshFor.Minutes()), Wanted: a.Session.LacksPasskey(), Owner: a.Role == firm.Owner,
		Method: "get", Again: r.URL.Path, Ways: s.desk.SignIns("")}
	v.Make = v.Wanted && !v.HasPasskey && a.Session.Fresh(s.Now())
	typed := r.URL.Query()
	if r.Method == http.MethodPost {
		v.Method, v.Again = "post", r.URL.Path+"?as="+url.QueryEscape(a.ID.String())
		form, err := kit.FormOf(c)
		if err != nil {
			return err
		}
		typed = form.Values
	}
	v.Typed = web.Sent(typed)
	people, err := s.SignIn.People(r.Context())
	if err != nil {
		return err
	}
	for _, p := range people {
		if p.ID == a.ID {
			v.Demo = p.ID.String()
		}
	}
	v.Say()
	return kit.Draw(c, http.StatusForbidden, web.Confirm, v)
}

// signAgain is where a script leads to that has to have somebody sign in first; then it
// goes back, with the name that was given to the device.
func signAgain(c echo.Context) error {
	return c.Redirect(http.StatusSeeOther, web.SessionsPath+"?called="+url.QueryEscape(c.QueryParam("called")))
}
