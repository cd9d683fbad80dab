// Package server answers HTTP: the pages, the ways in, and the JSON API. A
// handler parses, calls one service and draws or redirects; the rules of the
// trade are in the services.
package server

import (
	"context"
	"log/slog"
	"net/http"
	"net/netip"
	"strings"
	"time"

	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/oidc"
	"lathmark/server/page/kit"

	"github.com/labstack/echo/v4"
)

// Deps is what a server stands on.
type Deps struct {
	kit.Services
	// SignIn is the way in besides one-time links.
	SignIn auth.SignIn
	// Providers are those that people can come in with; nil: none.
	Providers *oidc.Providers
	// BaseURL is how people reach the server: "https://lathmark.example". With
	// https the session's cookie goes over nothing else.
	BaseURL string
	// Proxies are the networks whose word on where a request comes from is taken.
	Proxies []netip.Prefix
	// Rates are how much one may ask for; none: as much as one likes.
	Rates Rates
	// Live wakes the streams of open pages. Its owner closes it when the server
	// is to stop. Where there is none they look at their own pace.
	Live *live.Hub
	Log  *slog.Logger
	// Ready tells why the server cannot answer yet; nil once it can. It must
	// not take long.
	Ready func(context.Context) error
}

// server is a server in the making.
type server struct {
	Deps
	log      *slog.Logger
	sessions *auth.Sessions
	desk     *kit.House
	kept     pages
	// redrawn are the paths of pages that redraws stands before.
	redrawn map[string]bool

	// The meters of Rates.
	addresses, askers, misses *meter
}

// New makes the handler of everything. It is safe for many requests at once.
func New(d Deps) http.Handler { return newEcho(d) }

func newEcho(d Deps) *echo.Echo {
	secure := strings.HasPrefix(d.BaseURL, "https://")
	if d.Now == nil {
		d.Now = time.Now
	}
	if d.Live == nil {
		d.Live = live.NewHub()
	}
	s := &server{Deps: d, log: d.Log, sessions: auth.NewSessions(d.Firm, secure)}
	s.addresses, s.askers, s.misses = newMeter(d.Rates.Address, remembered), newMeter(d.Rates.Session, remembered),
		newMeter(d.Rates.Miss, remembered)
	s.desk = kit.New(d.Services, s.sessions, d.SignIn, d.Providers, d.BaseURL)
	s.kept.Most, s.redrawn = mostDrawn, map[string]bool{}
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = s.answerError
	e.IPExtractor = addressOf(d.Proxies)
	e.Use(s.guard()...)
	s.routes(e)
	return e
}

// health says that the process answers.
func health(c echo.Context) error { return c.String(http.StatusOK, "ok\n") }

// ready says whether the server can do its work.
func (s *server) ready(c echo.Context) error {
	if err := s.Ready(c.Request().Context()); err != nil {
		s.log.WarnContext(c.Request().Context(), "not ready", "cause", err)
		return c.String(http.StatusServiceUnavailable, "not ready\n")
	}
	return c.String(http.StatusOK, "ok\n")
}
