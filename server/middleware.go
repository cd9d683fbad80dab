package server

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/server/api"
	"lathmark/server/auth"
	"lathmark/web"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
)

// bodyLimit is the largest body of a request: a large room sheet is some
// hundred kilobytes.
const bodyLimit = "2M"

// guard returns the middleware for every request, outermost first.
func (s *server) guard() []echo.MiddlewareFunc {
	return []echo.MiddlewareFunc{
		numberRequests,
		s.logRequests,
		middleware.RecoverWithConfig(middleware.RecoverConfig{
			DisableErrorHandler: true, // logRequests does that, and must know the cause
			LogErrorFunc: func(_ echo.Context, err error, stack []byte) error {
				return fmt.Errorf("panic: %w\n%s", err, stack)
			},
		}),
		s.headers,
		s.squeezed(),
		s.limitRate,
		middleware.BodyLimitWithConfig(middleware.BodyLimitConfig{Limit: bodyLimit, Skipper: ownLimit}),
		s.ownForms,
		otherMethods,
	}
}

// ownLimit reports whether a request's handler sets a limit of its own.
func ownLimit(c echo.Context) bool {
	return api.OwnLimit(c) || c.Request().Method == http.MethodPost && c.Path() == web.Place{Room: ":room"}.Photos()
}

// numberRequests gives each request a number, which is in the log, in the
// answer's header and on the page of an internal error. A number sent with the
// request is ignored: it could be anything.
func numberRequests(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		c.Response().Header().Set(echo.HeaderXRequestID, uuid.Must(uuid.NewV7()).String())
		return next(c)
	}
}

// logRequests logs one line per request. It has the route's pattern and not the
// address: addresses contain the secrets of links. People are in it by their ids (whose).
// No names, no forms, no query.
func (s *server) logRequests(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		began := time.Now()
		err := next(c)
		if err != nil {
			c.Error(err)
		}
		status := c.Response().Status
		if status >= http.StatusInternalServerError && c.Request().Context().Err() != nil {
			status = statusGone
		}
		level, route := slog.LevelInfo, c.Path()
		attrs := []slog.Attr{
			slog.String("request", requestNumber(c)),
			slog.String("method", methodOf(c)),
			slog.String("route", route),
			slog.Int("status", status),
			slog.Int64("bytes", c.Response().Size),
			slog.Duration("took", time.Since(began)),
		}
		attrs = append(attrs, whose(c, status)...)
		if status >= http.StatusInternalServerError {
			level = slog.LevelError
			attrs = append(attrs, slog.Any("cause", err))
		} else if kind := fault.KindOf(err); kind != "" {
			attrs = append(attrs, slog.String("fault", string(kind)))
			if kind == fault.Unreadable { // for whoever runs the server
				level = slog.LevelError
				attrs = append(attrs, slog.Any("cause", cause(err)))
			}
		}
		s.log.LogAttrs(c.Request().Context(), level, "answered", attrs...)
		return nil
	}
}

// cause is what stands behind a fault, for the log.
func cause(err error) error {
	var f *fault.Error
	if errors.As(err, &f) && f.Err != nil {
		return f.Err
	}
	return err
}

func requestNumber(c echo.Context) string { return c.Response().Header().Get(echo.HeaderXRequestID) }

// permissions is what our pages may use of a device: nothing. A photo is taken
// by the device's own camera, through a field of a form.
const permissions = "camera=(), microphone=(), geolocation=(), payment=(), usb=(), display-capture=(), midi=(), " +
	"serial=()"

// headers adds headers to every answer; one of 503 or 429 says when to try again. Nothing
// keeps an answer that does not say otherwise, neither on the way nor in the browser: once
// its person has signed out, Back shows nothing of it.
func (s *server) headers(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set(echo.HeaderContentSecurityPolicy, web.ContentSecurityPolicy)
		h.Set(echo.HeaderReferrerPolicy, "no-referrer")
		h.Set(echo.HeaderXContentTypeOptions, "nosniff")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", permissions)
		h.Set(echo.HeaderCacheControl, "no-store")
		if strings.HasPrefix(s.BaseURL, "https://") {
			h.Set(echo.HeaderStrictTransportSecurity, "max-age=31536000; includeSubDomains") // a year; RFC 6797
		}
		c.Response().Before(func() {
			status := c.Response().Status
			if (status == http.StatusServiceUnavailable || status == http.StatusTooManyRequests) &&
				h.Get(echo.HeaderRetryAfter) == "" {
				h.Set(echo.HeaderRetryAfter, tryAgain)
			}
		})
		return next(c)
	}
}

// compress compresses text for clients that accept it: a page takes a fifth of
// the time over a bad connection. The stream of changes is left alone, since it
// would wait until a block is full, and pictures and the sums are compressed
// already.
//
// Compression tells the length of a secret that stands beside text an attacker
// chooses (BREACH). Pages hold none: a form's token only tells one pressing
// from another and is made anew for each page; what keeps other sites' forms
// out is ownForms, which needs no secret; the session is in a cookie's header,
// which is not compressed. A link's or a key's secret is shown once, and never again.
func (s *server) squeezed() echo.MiddlewareFunc {
	return squeezing(func(c echo.Context) bool {
		path := c.Request().URL.Path
		return path == web.LivePath || path == web.CopyPath || path == web.Sums.Path || strings.HasSuffix(path, ".png") ||
			strings.Contains(path, "/photos/") || c.Request().Method == http.MethodGet && s.redrawn[c.Path()]
	})
}

// squeezing compresses all but what is skipped.
func squeezing(skipped middleware.Skipper) echo.MiddlewareFunc {
	return middleware.GzipWithConfig(middleware.GzipConfig{MinLength: 1024, Skipper: skipped})
}

// ownForms rejects what another site makes a browser send: by the browser's own
// Sec-Fetch-Site, else by comparing Origin with Host, and its scheme with ours. The
// session's cookie, SameSite=Lax, is a second barrier.
func (s *server) ownForms(next echo.HandlerFunc) echo.HandlerFunc {
	same := http.NewCrossOriginProtection()
	return func(c echo.Context) error {
		if strings.HasPrefix(c.Request().URL.Path, APIPrefix) && auth.HasKey(c.Request()) {
			return next(c) // the cookie is not read then
		}
		err := same.Check(c.Request())
		h := c.Request().Header
		if origin := h.Get("Origin"); err == nil && h.Get("Sec-Fetch-Site") == "" && origin != "" {
			ours, _, _ := strings.Cut(s.BaseURL, "://")
			if scheme, _, _ := strings.Cut(origin, "://"); scheme != ours {
				err = errors.New("the origin's scheme is " + scheme)
			}
		}
		if err != nil {
			return &fault.Error{Kind: fault.Refused, Msg: "This form came from another website.", Err: err}
		}
		return next(c)
	}
}

// otherMethods answers 405 with Allow if an address exists for another method
// (RFC 9110, section 15.5.6). The router treats it as unknown, because groups
// with middleware have a handler for unknown addresses.
func otherMethods(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if !unrouted(c) {
			return next(c)
		}
		var allowed []string
		for _, method := range []string{http.MethodDelete, http.MethodGet, http.MethodPatch, http.MethodPost,
			http.MethodPut} {
			probe := c.Echo().NewContext(c.Request(), nil)
			c.Echo().Router().Find(method, c.Request().URL.Path, probe)
			if !unrouted(probe) {
				allowed = append(allowed, method)
			}
			if method == http.MethodGet && !unrouted(probe) && c.Request().URL.Path != web.LivePath {
				allowed = append(allowed, http.MethodHead)
			}
		}
		if len(allowed) == 0 {
			return next(c)
		}
		c.Response().Header().Set(echo.HeaderAllow, strings.Join(allowed, ", "))
		return echo.ErrMethodNotAllowed
	}
}

// unrouted reports whether the router found none of our routes.
func unrouted(c echo.Context) bool {
	return c.Path() == "" || c.Path() == "/*" || c.Path() == api.Prefix+"/*"
}

// static serves the files that pages refer to. Their addresses contain a hash
// of the content, so they may be cached for ever.
func static(c echo.Context) error {
	at := c.Request().URL.Path
	asset, ok := web.Assets[at]
	if !ok && at == web.Sums.Path {
		asset, ok = web.Sums, true
	}
	if !ok {
		return echo.ErrNotFound
	}
	h := c.Response().Header()
	h.Set(echo.HeaderCacheControl, "public, max-age=31536000, immutable")
	if !asset.Packed {
		return c.Blob(http.StatusOK, asset.Type, asset.Data)
	}
	h.Set(echo.HeaderVary, echo.HeaderAcceptEncoding)
	if strings.Contains(c.Request().Header.Get(echo.HeaderAcceptEncoding), "gzip") {
		h.Set(echo.HeaderContentEncoding, "gzip")
		return c.Blob(http.StatusOK, asset.Type, asset.Data)
	}
	data, err := gzip.NewReader(bytes.NewReader(asset.Data))
	if err != nil {
		return err
	}
	return c.Stream(http.StatusOK, asset.Type, data)
}

// file serves a file whose address never changes, so a browser revalidates it
// each time.
func file(a web.Asset) echo.HandlerFunc {
	return func(c echo.Context) error {
		c.Response().Header().Set(echo.HeaderCacheControl, "no-cache")
		return c.Blob(http.StatusOK, a.Type, a.Data)
	}
}
