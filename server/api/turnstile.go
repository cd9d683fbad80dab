package api

import (
	"context"
	"net/http"
	"time"

	"lathmark/domain/firm"
	"lathmark/server/auth"
	"lathmark/server/turn"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humaecho"
	"github.com/labstack/echo/v4/middleware"
)

// How often somebody may have a room sheet worked out: a person looks at one
// at a time, and a program that has a house to do waits a few seconds.
const (
	perSecond = 2
	burst     = 20
)

func newTurnstile() middleware.RateLimiterStore {
	return middleware.NewRateLimiterMemoryStoreWithConfig(middleware.RateLimiterMemoryStoreConfig{Rate: perSecond,
		Burst: burst, ExpiresIn: time.Minute})
}

// letThrough lets through so many requests a second from one address. What a header says of
// the address counts only where it is said by a proxy of ours.
func (a *api) letThrough(ctx huma.Context, next func(huma.Context)) {
	if ok, err := a.gate.Allow(auth.Network(humaecho.Unwrap(ctx))); err != nil || !ok {
		p := plain(http.StatusTooManyRequests, "Those are too many room sheets at once.", "$", "too many were sent",
			"Wait a second and send this one again")
		p.wait = time.Second / perSecond
		a.refuse(ctx, p)
		return
	}
	next(ctx)
}

// takeIn bounds what room sheets take of the memory before it is their turn.
func (a *api) takeIn(ctx huma.Context, next func(huma.Context)) {
	r := humaecho.Unwrap(ctx).Request()
	body, done, err := a.Turns.In.Take(asker(ctx.Context()).Firm, r.Body, r.ContentLength, SheetLimit)
	if err != nil {
		a.refuse(ctx, err)
		return
	}
	defer done()
	r.Body = body
	next(ctx)
}

// asker is who asks as those who take turns know them: a member of a firm, or a stranger at
// an address.
func asker(ctx context.Context) turn.Work {
	at := askingOf(ctx)
	if at.by == (firm.Person{}) {
		return turn.Usual("", auth.Network(at.c))
	}
	return turn.Usual(at.by.Firm.String(), at.by.ID.String())
}

// inTurn has a room sheet worked out when it is the turn of whoever sent it. All of it is
// there by then, and what is answered is written afterwards.
func inTurn[O any](ctx context.Context, a *api, do func() (*O, error)) (out *O, err error) {
	err = a.Turns.Do(ctx, asker(ctx), func(func() error) error {
		out, err = do()
		return err
	})
	return out, err
}
