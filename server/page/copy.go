package page

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"net/url"
	"regexp"
	"strings"

	"lathmark/domain/standing"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// mostCopied is the most pages that one phone is given to keep: some forty
// rooms with all their forms.
const mostCopied = 1000

// copied is one page as the phone keeps it, a line of the answer. Body is left
// out where the phone has it already.
type copied struct {
	Path string `json:"path"`
	Type string `json:"type"`
	// Tag stands for all of the page but what differs from one drawing of it to
	// the next.
	Tag string `json:"tag"`
	// Seq and Made are what the page says of itself: see Sheet.
	Seq  string  `json:"seq"`
	Made string  `json:"made"`
	Body *string `json:"body,omitempty"`
}

// copyEnd is the last line: without it the answer was cut short.
type copyEnd struct {
	Pages int `json:"pages"`
}

// Copy returns every page that the person's visits need, one a line, so that the
// phone can keep them. Each is drawn by the server's own router for the very
// session that asks, so nobody is given a page he could not open. The phone
// says in If-None-Match what it has.
func (p *Pages) Copy(c echo.Context) error {
	rooms, err := p.Book.Visits(c.Request().Context(), who(c))
	if err != nil {
		return err
	}
	has := tagsOf(c.Request().Header)
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, "application/x-ndjson")
	h.Set(echo.HeaderContentEncoding, "gzip")
	packed := gzip.NewWriter(c.Response())
	lines := json.NewEncoder(packed)
	todo, seen, pages := visitPaths(rooms), map[string]bool{}, 0
	for ; len(todo) > 0 && pages < mostCopied; todo = todo[1:] {
		if seen[todo[0]] {
			continue
		}
		seen[todo[0]] = true
		if c.Request().Context().Err() != nil {
			return c.Request().Context().Err() // the phone has gone
		}
		one, ok := p.copyOf(c, todo[0])
		if !ok {
			continue
		}
		todo = append(todo, formsOn(*one.Body, rooms)...)
		if has[one.Tag] {
			one.Body = nil
		}
		if err := lines.Encode(one); err != nil {
			return err
		}
		pages++
	}
	if err := lines.Encode(copyEnd{pages}); err != nil {
		return err
	}
	return packed.Close()
}

// tagsOf are the tags of the pages that the phone has (RFC 9110, section
// 13.1.2).
func tagsOf(h http.Header) map[string]bool {
	out := map[string]bool{}
	for _, line := range h.Values("If-None-Match") {
		for _, tag := range strings.Split(line, ",") {
			out[strings.Trim(tag, ` "`)] = true
		}
	}
	return out
}

// visitPaths are the pages that a visit begins from, the lists first.
func visitPaths(rooms []standing.RoomTasks) []string {
	out := []string{web.VisitsPath, web.TasksPath, web.ReadyPath, web.Home}
	for _, r := range rooms {
		at := placeOfTasks(r)
		out = append(out, at.RoomPage(), at.Measure(), at.Tails(), at.AsBuilt(), at.Finished(), at.SetOut(), at.Holes(),
			at.Schedule(), at.Patches(), at.Snags(), at.Photos(), at.Sums())
		out = append(out, at.Gate(r.InHand.Slug()))
		for _, t := range r.Tasks {
			out = append(out, at.Gate(t.Stage.Slug()))
		}
	}
	return out
}

// hrefs are the links of a page to a room's own pages.
var hrefs = regexp.MustCompile(`href="(/rooms/([^/"?#]+)/(?:readings/[^/"?#]+|positions/[^/"?#]+/outcome))[?#"]`)

// formsOn are the forms of single readings and holes that a page leads to:
// those, and no others, that this person may fill in.
func formsOn(page string, rooms []standing.RoomTasks) []string {
	var out []string
	for _, m := range hrefs.FindAllStringSubmatch(page, -1) {
		for _, r := range rooms {
			if r.Room.String() == m[2] {
				out = append(out, m[1])
			}
		}
	}
	return out
}

type partKey struct{}

// IsPart reports whether a request is a part of another that we answer: nobody
// sent it.
func IsPart(r *http.Request) bool { return r.Context().Value(partKey{}) != nil }

// copyOf draws one page by the router; ok is false where this person gets none
// there.
func (p *Pages) copyOf(c echo.Context, path string) (one copied, ok bool) {
	r := c.Request().Clone(context.WithValue(c.Request().Context(), partKey{}, true))
	r.Method, r.URL, r.RequestURI, r.Body, r.ContentLength = http.MethodGet, &url.URL{Path: path}, path, http.NoBody, 0
	r.Header = http.Header{"Cookie": r.Header.Values("Cookie")}
	w := answer{header: http.Header{}}
	c.Echo().ServeHTTP(&w, r)
	if w.status != http.StatusOK {
		return copied{}, false
	}
	body := w.body.String()
	one = copied{Path: path, Type: w.header.Get(echo.HeaderContentType), Body: &body}
	one.Tag = tagOf(body)
	one.Seq, one.Made = said(body, "data-seq"), said(body, "data-made")
	return one, true
}

// said is the value of an attribute of the page's body element; "" for none.
func said(page, attribute string) string {
	_, rest, _ := strings.Cut(page, "<body")
	head, _, _ := strings.Cut(rest, ">")
	_, rest, ok := strings.Cut(head, " "+attribute+`="`)
	if !ok {
		return ""
	}
	value, _, _ := strings.Cut(rest, `"`)
	return value
}

// drawnAnew is what differs from one drawing of a page to the next: the tokens
// of its forms, and what its body element says of the moment.
var drawnAnew = regexp.MustCompile(`name="token" value="[^"]*"| data-(?:seqs?|made)="[^"]*"`)

func tagOf(page string) string {
	sum := sha256.Sum256(drawnAnew.ReplaceAll([]byte(page), nil))
	return hex.EncodeToString(sum[:8])
}

// answer takes down what a handler answers.
type answer struct {
	status int
	header http.Header
	body   bytes.Buffer
}

func (a *answer) Header() http.Header { return a.header }

func (a *answer) WriteHeader(status int) {
	if a.status == 0 {
		a.status = status
	}
}

func (a *answer) Write(b []byte) (int, error) {
	a.WriteHeader(http.StatusOK)
	return a.body.Write(b)
}
