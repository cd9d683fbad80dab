package door

import (
	"context"
	"fmt"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/server/auth"
	"lathmark/server/oidc"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// offers offers some people and signs nobody in.
type offers []auth.Offered

func (o offers) People(context.Context) ([]auth.Offered, error) { return o, nil }

func (o offers) Start(context.Context, url.Values) (firm.Person, string, error) {
	return firm.Person{}, "", &fault.Error{Kind: fault.NotFound, Msg: "Nobody is called that."}
}

func pages(people ...firm.Person) *Pages {
	var offered offers
	for _, p := range people {
		offered = append(offered, auth.Offered{Person: p, Try: "look round"})
	}
	return &Pages{&kit.House{Services: kit.Services{Now: time.Now}, Way: offered}}
}

// answer calls a handler as somebody without a session.
func answer(t *testing.T, method string, handler echo.HandlerFunc, params ...string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRecorder()
	c := echo.New().NewContext(httptest.NewRequest(method, "/", nil), r)
	for i := 0; i+1 < len(params); i += 2 {
		c.SetParamNames(params[i])
		c.SetParamValues(params[i+1])
	}
	if err := handler(c); err != nil {
		t.Fatal(err)
	}
	return r
}

func TestSignInOffersPeople(t *testing.T) {
	ola := firm.Person{ID: id.New[id.Member](), Name: "Ola Brandt", Role: firm.Trade, Trade: words.Electrician}
	if r := answer(t, "GET", pages(ola).SignIn); !strings.Contains(r.Body.String(), "Ola Brandt") ||
		!strings.Contains(r.Body.String(), "Look round.") {
		t.Error("the electrician is not offered, with what to try")
	}
	r := answer(t, "GET", pages().SignIn)
	if !strings.Contains(r.Body.String(), "Open the one-time link you were given.") {
		t.Error("whom nobody offers is not told of the link")
	}
	r = answer(t, "POST", pages().ComeIn)
	if r.Code != 303 || r.Header().Get(echo.HeaderLocation) != web.SignInPath {
		t.Errorf("somebody unknown is answered with %d", r.Code)
	}
}

// Looking at a link does not use it up, and nobody keeps the page.
func TestLinkIsShownAndNotKept(t *testing.T) {
	r := answer(t, "GET", pages().Link, "token", "a-secret")
	if !strings.Contains(r.Body.String(), web.OneTimeLinkPath+"a-secret") {
		t.Error("nothing posts to the link")
	}
	if r.Header().Get(echo.HeaderCacheControl) != "no-store" || r.Header().Get("X-Robots-Tag") == "" {
		t.Errorf("the page may be kept: %v", r.Header())
	}
}

// Why somebody was not let in is said to nobody, but that the other side is down
// is; a code that leads nowhere reads the same whatever it was.
func TestWhoIsNotLetInLearnsNoReason(t *testing.T) {
	p := pages()
	for _, c := range []struct {
		err  error
		code int
		says string
	}{
		{fmt.Errorf("asked: %w", oidc.ErrDown), 503, "is not answering just now"},
		{&fault.Error{Kind: fault.Refused, Msg: "The proof is two hours old."}, 403, "That did not come off."},
		{&fault.Error{Kind: fault.BadInput, Msg: "No attempt was begun."}, 403, "That did not come off."},
	} {
		r := answer(t, "GET", func(e echo.Context) error { return p.notIn(e, c.err) })
		if r.Code != c.code || !strings.Contains(r.Body.String(), c.says) || strings.Contains(r.Body.String(),
			c.err.Error()) {
			t.Errorf("%v is answered with %d", c.err, r.Code)
		}
	}
	gone := &fault.Error{Kind: fault.NotFound, Msg: "It was taken back."}
	r := answer(t, "GET", func(e echo.Context) error { return p.orNoCode(e, gone) })
	if r.Code != 404 || strings.Contains(r.Body.String(), gone.Msg) {
		t.Errorf("a code that leads nowhere is answered with %d", r.Code)
	}
}
