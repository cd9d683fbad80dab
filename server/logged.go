package server

import (
	"log/slog"
	"net/http"

	"lathmark/server/auth"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// ways are the routes on which somebody tries to sign in, and by what.
var ways = map[string]string{
	http.MethodPost + " " + web.SignInPath:                      "form",
	http.MethodPost + " " + web.OneTimeLinkPath + ":token":      "link",
	http.MethodPost + " " + web.InvitedPath + ":token":          "code",
	http.MethodPost + " " + web.PasskeySignInPath:               "passkey",
	http.MethodGet + " " + web.ProviderReturnPath + ":provider": "provider",
	http.MethodPost + " " + web.ChooseFirmPath:                  "provider",
}

// ends are the routes that end sessions.
var ends = func() map[string]bool {
	who, out := web.PersonAt(":member"), map[string]bool{}
	for _, path := range []string{web.SignOutPath, web.EndSession(":session"), web.OthersPath, who.SignOut(), who.LetGo(),
		who.EndSession(":session"), web.ProviderLogoutPath + ":provider"} {
		out[http.MethodPost+" "+path] = true
	}
	return out
}()

// whose returns what the log says of people, by their ids: who asked, by what somebody tried
// to sign in and whether they are in, and whose sessions were ended.
func whose(c echo.Context, status int) (attrs []slog.Attr) {
	add := func(name, value string) { attrs = append(attrs, slog.String(name, value)) }
	a, there := auth.Who(c)
	if there {
		add("who", a.ID.String())
	}
	route := c.Request().Method + " " + c.Path()
	way := ways[route]
	if auth.KeyUnknown(c) {
		way = "key"
	}
	came, in := auth.Came(c)
	switch {
	case way != "" && in:
		add("sign_in", way)
		add("outcome", "in")
		add("member", came.String())
	case way != "" && status == http.StatusOK:
		add("sign_in", way)
		add("outcome", "asked") // as whom, or in which firm
	case way != "":
		add("sign_in", way)
		add("outcome", "refused")
	case ends[route] && status < http.StatusBadRequest:
		add("ended", "sessions")
		if of := c.Param("member"); of != "" {
			add("member", of) // the answer shows that it is one of the firm
		}
	}
	return attrs
}
