package server

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"strings"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/recent"
	"lathmark/domain/room"
	"lathmark/server/auth"
	"lathmark/server/page/kit"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
	"golang.org/x/sync/singleflight"
)

// mostDrawn is the size of the cache of drawn pages, in bytes.
const mostDrawn = 10 << 20

// drawn is a page as it was drawn, plain and compressed.
type drawn struct {
	kind         string
	plain, small []byte
	until        time.Time // zero: until its mark moves on
}

// pages keeps pages by their tags. A tag depends on the address, the viewer,
// the day, and everything that the page is based on; so a cached page is never
// stale, whichever process wrote.
type pages = recent.Cache[string, drawn]

// drawing has each page drawn by one who asks for it, for all who ask meanwhile.
type drawing = singleflight.Group

// drawnOnce are the routes of pages that redraws stands before.
type drawnOnce struct {
	*server
	in *echo.Group
}

// GET adds a page.
func (d drawnOnce) GET(path string, page echo.HandlerFunc) {
	d.redrawn[path] = true
	d.in.GET(path, page, d.redraws)
}

// markKey is where a request has the mark of the page that it asks for.
const markKey = "lathmark.mark"

// marks has a page's mark asked for along with the session, in one trip to the
// database. It returns nil for what is not drawn once.
func (s *server) marks(c echo.Context) firm.Look {
	if c.Request().Method != http.MethodGet || !s.redrawn[c.Path()] || c.Request().URL.RawQuery != "" {
		return nil
	}
	scope, err := scopeOf(c)
	if err != nil {
		return nil
	}
	return func(ctx context.Context, of id.Firm, secret firm.Hash, at time.Time) (firm.Session, error) {
		got, mark, err := s.Book.Marked(ctx, of, secret, at, scope)
		if err == nil && (scope.Room.IsZero() || mark.Revisions > 0) {
			c.Set(markKey, mark)
		}
		return got, err
	}
}

// scopeOf returns the room that an address names, or all of them.
func scopeOf(c echo.Context) (scope room.Scope, err error) {
	if text := c.Param("room"); text != "" {
		scope.Room, err = id.Parse[id.Room](text)
	}
	return scope, err
}

// redraws stands before the pages that rest on rooms alone, on the people and on
// the jobs. It answers 304 to whoever has the page, and draws a page once for
// everybody who may be shown the same. A page without a mark is drawn anew: it may
// have to say what is wrong.
func (s *server) redraws(next echo.HandlerFunc) echo.HandlerFunc {
	anew := squeezing(middleware.DefaultSkipper)(next)
	return func(c echo.Context) error {
		who, _ := auth.Who(c)
		mark, marked := c.Get(markKey).(room.Mark)
		if !marked {
			return anew(c)
		}
		tag := s.tag(c.Request().URL.Path, who, mark)
		c.Response().Header().Set("Vary", "Accept-Encoding, Cookie")
		page, ok := s.kept.Get(tag)
		if ok && (page.until.IsZero() || s.Now().Before(page.until)) {
			return page.send(c, tag)
		}
		// Those who ask meanwhile wait: many at once would each take the memory.
		own := false
		drew, err, _ := s.drawing.Do(tag, func() (any, error) {
			own = true
			page, ok, err := s.draw(c, next)
			if err != nil || !ok {
				return nil, err
			}
			s.keep(c, who.Person, tag, page)
			return page, nil
		})
		if page, ok = drew.(drawn); ok {
			return page.send(c, tag)
		}
		if own {
			return err // or it was answered already
		}
		return anew(c)
	}
}

// keep keeps a page for as long as nothing becomes dry, where that is known. A room
// that was written to since the page was marked is no harm: nobody is marked so again.
func (s *server) keep(c echo.Context, by firm.Person, tag string, page drawn) {
	scope, err := scopeOf(c)
	if err != nil {
		return
	}
	heads, err := s.Book.Heads(c.Request().Context(), by, scope)
	if err != nil {
		return
	}
	if until, known := s.Book.Until(by.Firm, heads); known {
		page.until = until
		s.kept.Put(tag, page, len(page.plain)+len(page.small)+len(tag), nil)
	}
}

// tag returns an entity tag (RFC 9110, section 8.8.3).
func (s *server) tag(path string, who auth.Asker, mark room.Mark) string {
	h := sha256.New()
	// Encoding plain values does not fail.
	_ = json.NewEncoder(h).Encode([]any{path, who.Person, who.FirmName, who.Zone, who.Zone.Day(s.Now()), mark})
	return `"` + hex.EncodeToString(h.Sum(nil)[:16]) + `"`
}

// draw draws a page. It passes on what is not a page, such as a redirect; ok is
// false then.
func (s *server) draw(c echo.Context, next echo.HandlerFunc) (page drawn, ok bool, err error) {
	real := c.Response().Writer
	w := &taken{header: real.Header()}
	c.Response().Writer = w
	err = next(c)
	c.Response().Writer = real
	if err != nil {
		return page, false, err
	}
	if w.status != http.StatusOK {
		real.WriteHeader(w.status)
		_, err = real.Write(w.body.Bytes())
		return page, false, err
	}
	c.Response().Committed, c.Response().Size = false, 0
	page = drawn{kind: w.header.Get(echo.HeaderContentType), plain: w.body.Bytes()}
	var small bytes.Buffer
	packed := gzip.NewWriter(&small)
	if _, err = packed.Write(page.plain); err == nil {
		err = packed.Close()
	}
	page.small = small.Bytes()
	return page, true, err
}

// send answers with a page that was drawn.
func (p drawn) send(c echo.Context, tag string) error {
	h := c.Response().Header()
	h.Set("ETag", tag)
	if kit.HasTag(c, tag) {
		h.Del(echo.HeaderContentType)
		return c.NoContent(http.StatusNotModified)
	}
	if strings.Contains(c.Request().Header.Get(echo.HeaderAcceptEncoding), "gzip") {
		h.Set(echo.HeaderContentEncoding, "gzip")
		return c.Blob(http.StatusOK, p.kind, p.small)
	}
	return c.Blob(http.StatusOK, p.kind, p.plain)
}

// taken takes down what a handler answers.
type taken struct {
	status int
	header http.Header
	body   bytes.Buffer
}

func (t *taken) Header() http.Header { return t.header }

func (t *taken) WriteHeader(status int) {
	if t.status == 0 {
		t.status = status
	}
}

func (t *taken) Write(b []byte) (int, error) {
	t.WriteHeader(http.StatusOK)
	return t.body.Write(b)
}
