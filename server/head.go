package server

import (
	"net/http"

	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// headKey is where a request has that it asks for the head alone.
const headKey = "lathmark.head"

// heads answers HEAD as GET is answered, without the content (RFC 9110, section 9.3.2). A
// stream has no end, and so no answer of that kind.
func heads(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if r.Method != http.MethodHead || r.URL.Path == web.LivePath {
			return next(c)
		}
		r.Method = http.MethodGet                     // the router looks at the request itself
		defer func() { r.Method = http.MethodHead }() // and net/http at the end, for the length
		c.Set(headKey, true)
		c.Response().Writer = headOnly{c.Response().Writer}
		return next(c)
	}
}

// headOnly writes no content.
type headOnly struct{ http.ResponseWriter }

func (headOnly) Write(b []byte) (int, error) { return len(b), nil }

// Unwrap is for http.ResponseController.
func (h headOnly) Unwrap() http.ResponseWriter { return h.ResponseWriter }

// methodOf returns a request's method for the log: one that nobody knows could be anything,
// of any length.
func methodOf(c echo.Context) string {
	switch method := c.Request().Method; {
	case c.Get(headKey) != nil:
		return http.MethodHead
	case method == http.MethodHead, method == http.MethodGet, method == http.MethodPost, method == http.MethodPut,
		method == http.MethodPatch, method == http.MethodDelete, method == http.MethodOptions:
		return method
	}
	return "another"
}

// robots tells programs that gather pages to gather none.
func robots(c echo.Context) error {
	return c.String(http.StatusOK, "User-agent: *\nDisallow: /\n")
}

// nothing answers at addresses that other programs look for by themselves (RFC 8615), so
// that they are not led to the page for signing in.
func nothing(echo.Context) error { return echo.ErrNotFound }
