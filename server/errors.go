package server

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strings"

	"lathmark/domain/fault"
	"lathmark/server/api"
	"lathmark/server/auth"
	"lathmark/server/page/kit"
	"lathmark/server/turn"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// statuses is the one table from faults to HTTP statuses.
var statuses = map[fault.Kind]int{
	fault.BadInput: http.StatusBadRequest,
	fault.Refused:  http.StatusForbidden,
	// Somebody else's record and one that never existed are answered alike.
	fault.NotFound: http.StatusNotFound,
	fault.Conflict: http.StatusConflict,
	fault.Obstacle: http.StatusUnprocessableEntity,
	fault.Down:     http.StatusServiceUnavailable,
	// The request was in order. It is no status of 500, as nothing broke.
	fault.Unreadable: http.StatusUnprocessableEntity,
}

// tryAgain is when to ask again a server that answers 503, in seconds (Retry-After, RFC
// 9110, section 10.2.3). A phone has pauses of its own.
const tryAgain = "5"

// statusGone stands in the log where whoever asked hung up before there was an answer. No
// standard has it; some proxies write the same.
const statusGone = 499

// Status returns the HTTP status for an error: that of its fault, that of the
// router's own errors, else 500.
func Status(err error) int {
	switch {
	case errors.Is(err, context.Canceled):
		return statusGone
	case errors.Is(err, turn.ErrFull):
		return http.StatusTooManyRequests
	}
	if status, ok := statuses[fault.KindOf(err)]; ok {
		return status
	}
	var router *echo.HTTPError
	if errors.As(err, &router) {
		return router.Code
	}
	return http.StatusInternalServerError
}

// APIPrefix is where the JSON API begins.
const APIPrefix = "/api/"

// answerError writes the answer for an error that a handler returned. A form
// that has to be mended does not get here: its handler draws it again.
func (s *server) answerError(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	if c.Request().Context().Err() != nil {
		_ = c.NoContent(statusGone) // nobody reads it
		return
	}
	draw := s.errorPage
	if path := c.Request().URL.Path; strings.HasPrefix(path, APIPrefix) || path == web.ActsPath || kit.AsksForJSON(c) {
		draw = problem
	}
	if drawing := draw(c, err); drawing != nil {
		s.log.ErrorContext(c.Request().Context(), "no page for an error", "request", requestNumber(c), "cause", drawing)
		// the connection is gone
		_ = c.String(http.StatusInternalServerError,
			"Something went wrong here. Everything saved before is safe.\n")
	}
}

func (s *server) errorPage(c echo.Context, err error) error {
	status := Status(err)
	at := kit.PlaceOf(c)
	var f *fault.Error
	errors.As(err, &f)
	switch {
	case errors.Is(err, auth.ErrNobody):
		return c.Redirect(http.StatusSeeOther, web.SignInPath)
	case status == http.StatusNotFound:
		return kit.Draw(c, status, web.Trouble, web.NotFoundView(s.desk.Sheet(c, "")))
	case f != nil && f.Kind == fault.Unreadable:
		return kit.Draw(c, status, web.Trouble, web.UnreadableView(s.desk.Sheet(c, ""), f.Msg))
	case f != nil && f.Kind == fault.Down:
		return kit.Draw(c, status, web.Trouble, s.down(c, f))
	case f == nil && status >= http.StatusInternalServerError:
		return kit.Draw(c, status, web.Trouble, web.BrokenView(s.desk.Sheet(c, ""), requestNumber(c)))
	case f != nil && f.Kind == fault.Obstacle:
		return kit.Draw(c, status, web.Refusal, s.desk.Refusal(c, f))
	}
	view := web.TroubleView{Sheet: s.desk.Sheet(c, "Not done"), Says: "That cannot be done here.",
		Way: "Go back and try again."}
	view.Next = kit.WayBack(at)
	switch {
	case f != nil && f.Kind == fault.Conflict:
		view.Title, view.Says = "Changed by someone else", f.Msg
		view.Way = "Look at it as it is now, then decide again."
	case f != nil:
		view.Says, view.Way = f.Msg, mends(f.Fields)
	case status == http.StatusTooManyRequests:
		view.Title, view.Says, view.Way = "Too much at once", "Too many tries in a short time.",
			"Wait a moment, then do it again. What you typed is not saved yet."
	case status == http.StatusMethodNotAllowed:
		view.Says, view.Way = "That does not work from this page.", "Go back, and press the button again there."
	case status == http.StatusRequestEntityTooLarge:
		view.Says, view.Way = "That is too much for one form.", "Send it in parts, each under 2 MB."
	}
	return kit.Draw(c, status, web.Trouble, view)
}

// down is the page while the records cannot be reached or not written to. It has what
// was typed, and sends it once more: its token tells the server what is on record already.
func (s *server) down(c echo.Context, f *fault.Error) web.TroubleView {
	var typed url.Values
	r := c.Request()
	if r.Method == http.MethodPost && strings.HasPrefix(r.Header.Get(echo.HeaderContentType), echo.MIMEApplicationForm) {
		if form, err := kit.FormOf(c); err == nil {
			typed = form.Values
		}
	}
	return web.DownView(s.desk.Sheet(c, ""), f.Msg, r.URL.RequestURI(), r.Method == http.MethodPost, typed)
}

// mends returns, in one line, what would put things right.
func mends(fields []fault.Field) string {
	var out []string
	for _, f := range fields {
		if f.Mend != "" {
			out = append(out, f.Mend+".")
		}
	}
	if len(out) == 0 {
		return "Ask the foreman or the owner of the firm."
	}
	return strings.Join(out, " ")
}

// problem writes the answer (RFC 9457) to requests of the API that reached none
// of its handlers, and to our scripts: no such address, not signed in, refused.
func problem(c echo.Context, err error) error {
	status := Status(err)
	text, err := api.NewProblem(status, err).JSON()
	if err != nil {
		return err
	}
	return c.Blob(status, api.ProblemType, text)
}
