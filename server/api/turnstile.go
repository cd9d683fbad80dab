package api

import (
	"net/http"
	"runtime"
	"time"

	"lathmark/domain/fault"

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

// turnstile keeps what strangers may ask for from taking the whole machine.
type turnstile struct {
	rate  middleware.RateLimiterStore
	slots chan struct{}
}

func newTurnstile() *turnstile {
	return &turnstile{
		rate: middleware.NewRateLimiterMemoryStoreWithConfig(middleware.RateLimiterMemoryStoreConfig{Rate: perSecond,
			Burst: burst, ExpiresIn: time.Minute}),
		slots: make(chan struct{}, max(1, runtime.GOMAXPROCS(0)/2)),
	}
}

// waitTurn lets through so many requests a second from one address, and half
// as many at a time as there are processors. Whoever waits has not sent the
// sheet yet. What a header says of the address counts only where it is said by
// a proxy of ours.
func (a *api) waitTurn(ctx huma.Context, next func(huma.Context)) {
	c := humaecho.Unwrap(ctx)
	if ok, err := a.gate.rate.Allow(c.RealIP()); err != nil || !ok {
		p := plain(http.StatusTooManyRequests, "Those are too many room sheets at once.", "$", "too many were sent",
			"Wait a second and send this one again")
		p.wait = time.Second / perSecond
		a.refuse(ctx, p)
		return
	}
	select {
	case a.gate.slots <- struct{}{}:
		defer func() { <-a.gate.slots }()
		next(ctx)
	case <-ctx.Context().Done():
		a.refuse(ctx, &fault.Error{Kind: fault.Conflict, Msg: "You left before it was your turn.", Err: ctx.Context().Err()})
	}
}
