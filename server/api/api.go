// Package api is the JSON API under /api/v1: what the pages do, for programs.
// A handler reads a request, calls one service and returns a view of the
// answer. The OpenAPI document comes from the handlers' own types.
package api

import (
	"context"
	"strings"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/standing"
	"lathmark/server/auth"
	"lathmark/server/turn"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"
	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
)

// Prefix is where every address of the API begins.
const Prefix = "/api/v1"

// Services are what the handlers call.
type Services struct {
	Firm  *firm.Service
	Job   *job.Service
	Desk  *deed.Desk
	Book  *standing.Book
	Diary *diary.Service
	Turns *turn.Turns // for what is expensive
}

// api is the API in the making.
type api struct {
	Services
	huma   huma.API
	status func(error) int
	gate   middleware.RateLimiterStore
	tag    string // the part of the document that is being registered
}

// Mount registers the API on a group that has no prefix and whose middleware
// has read the session. status is the server's one table from an error to what
// is answered. Whoever has no session reaches only what the document marks as
// open.
func Mount(e *echo.Echo, g *echo.Group, s Services, status func(error) int) {
	a := &api{Services: s, status: status, gate: newTurnstile()}
	g.Use(tellCause)
	e.RouteNotFound(Prefix+"/*", func(echo.Context) error { return echo.ErrNotFound })
	a.huma = humaecho.NewWithGroup(e, g, configuration())
	a.huma.UseMiddleware(a.letIn)
	a.routes()
}

// asking is one request on its way to a handler.
type asking struct {
	c  echo.Context
	by firm.Person // zero for nobody
}

type askingKey struct{}

// askingOf returns the request that a handler's context belongs to.
func askingOf(ctx context.Context) asking {
	a, _ := ctx.Value(askingKey{}).(asking) // letIn stands before every handler
	return a
}

// letIn finds out who asks, and turns nobody away from what is not open.
func (a *api) letIn(ctx huma.Context, next func(huma.Context)) {
	c := humaecho.Unwrap(ctx)
	who, in := auth.Who(c)
	if !in && !isOpen(ctx.Operation()) {
		a.refuse(ctx, auth.ErrNobody)
		return
	}
	if err := barredIn(c.Request().URL, ctx.Operation()); err != nil {
		a.refuse(ctx, err)
		return
	}
	next(huma.WithValue(ctx, askingKey{}, asking{c, who.Person}))
}

// refuse answers a request that reaches no handler.
func (a *api) refuse(ctx huma.Context, err error) {
	p := a.problem(err)
	c := humaecho.Unwrap(ctx)
	c.Set(causeKey, err)
	if p.wait > 0 {
		ctx.SetHeader("Retry-After", p.retryAfter())
	}
	ctx.SetHeader("Content-Type", ProblemType)
	ctx.SetStatus(p.Status)
	if err := a.huma.Marshal(ctx.BodyWriter(), "application/json", p); err != nil {
		c.Set(causeKey, err) // the connection has gone
	}
}

const causeKey = "lathmark.api.cause"

// tellCause returns the server's log the error that a handler answered with.
func tellCause(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err := next(c); err != nil {
			return err
		}
		cause, _ := c.Get(causeKey).(error)
		return cause
	}
}

// readTimeout is how long a body may take to come in.
const readTimeout = 30 * time.Second

// handler is one act of the API.
type handler[I, O any] func(ctx context.Context, by firm.Person, in *I) (*O, error)

// route registers one handler at a method and an address. Its id is the
// operation's in the document and never changes.
func route[I, O any](a *api, at, id, summary string, do handler[I, O], more ...func(*huma.Operation)) {
	method, path, _ := strings.Cut(at, " ")
	op := huma.Operation{Method: method, Path: Prefix + path, OperationID: id, Summary: summary,
		Description: describes[id], Tags: []string{a.tag}, BodyReadTimeout: readTimeout, Responses: a.refusals(method)}
	if _, seeing := any(*new(I)).(interface{ seen() (int64, error) }); seeing {
		a.guarded(&op)
	}
	for _, change := range more {
		change(&op)
	}
	huma.Register(a.huma, op, func(ctx context.Context, in *I) (*O, error) {
		at := askingOf(ctx)
		out, err := do(ctx, at.by, in)
		if err != nil {
			at.c.Set(causeKey, err)
			return nil, a.problem(err)
		}
		return out, nil
	})
}
