// Package server answers HTTP: the pages, signing in, and the JSON API. A
// handler parses, calls one service and renders or redirects; the rules of the
// trade are in the services.
package server

import (
	"context"
	"log/slog"
	"net/http"
	"net/netip"
	"strings"
	"time"

	"lathmark/domain/recent"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/oidc"
	"lathmark/server/page/kit"
	"lathmark/server/turn"

	"github.com/labstack/echo/v4"
)

// Deps is what a server depends on.
type Deps struct {
	kit.Services
	// SignIn is how people sign in besides one-time links.
	SignIn auth.SignIn
	// Providers are those that people can sign in with; nil: none.
	Providers *oidc.Providers
	// BaseURL is the server's public address: "https://lathmark.example". With
	// https the session's cookie is sent over https only.
	BaseURL string
	// Proxies are the networks that are trusted to say where a request comes
	// from.
	Proxies []netip.Prefix
	// Rates limits how often clients may ask; the zero value sets no limit.
	Rates Rates
	// Live wakes the streams of open pages. Its owner closes it when the server
	// is to stop. Without it they look at their own pace.
	Live *live.Hub
	Log  *slog.Logger
	// Ready returns why the server cannot answer yet, or nil if it can. It must
	// not take long.
	Ready func(context.Context) error
}

// server is what the handlers share.
type server struct {
	Deps
	log      *slog.Logger
	sessions *auth.Sessions
	desk     *kit.House
	kept     pages
	drawing  drawing
	// redrawn are the paths of pages that redraws stands before.
	redrawn map[string]bool

	// The meters of Rates.
	addresses, askers, misses *meter
	// good are the sessions and keys, hashed, that somebody asked with lately.
	good recent.Cache[string, struct{}]
	from onePlace
}

// New returns the handler of everything. It is safe for concurrent use.
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
	s.addresses, s.askers, s.misses = newMeter(d.Rates.Address, maxRemembered), newMeter(d.Rates.Session, maxRemembered),
		newMeter(d.Rates.Miss, maxRemembered)
	s.good.Most = maxRemembered
	s.desk = kit.New(d.Services, s.sessions, d.SignIn, d.Providers, d.BaseURL, turn.New(time.Now))
	s.sessions.Look = s.marks
	s.kept.Most, s.redrawn = mostDrawn, map[string]bool{}
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = s.answerError
	e.IPExtractor = addressOf(d.Proxies)
	e.Pre(heads)
	e.Use(s.guard()...)
	s.routes(e)
	return e
}

// health answers that the process is alive.
func health(c echo.Context) error { return c.String(http.StatusOK, "ok\n") }

// ready answers whether the server can do its work.
func (s *server) ready(c echo.Context) error {
	if err := s.Ready(c.Request().Context()); err != nil {
		s.log.WarnContext(c.Request().Context(), "not ready", "cause", err)
		return c.String(http.StatusServiceUnavailable, "not ready\n")
	}
	return c.String(http.StatusOK, "ok\n")
}
