package server

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/server/auth"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// bare returns a server without services, for tests of what happens before one
// is called.
func bare(t *testing.T, log *bytes.Buffer) *echo.Echo {
	t.Helper()
	return newEcho(bareDeps(log))
}

func bareDeps(log *bytes.Buffer) Deps {
	return Deps{
		Services: kit.Services{Now: time.Now},
		SignIn:   auth.Links{},
		BaseURL:  "http://127.0.0.1:8080",
		Log:      slog.New(slog.NewTextHandler(log, nil)),
		Ready:    func(context.Context) error { return errors.New("no database") },
	}
}

func ask(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestEveryAnswerIsGuarded(t *testing.T) {
	e := bare(t, new(bytes.Buffer))
	for _, path := range []string{"/healthz", "/readyz", "/", "/no-such-page", "/static/none.css", "/api/v1/none",
		web.SignInPath} {
		h := ask(e, httptest.NewRequest(http.MethodGet, path, nil)).Header()
		for name, want := range map[string]string{
			"Content-Security-Policy": web.ContentSecurityPolicy,
			"Referrer-Policy":         "no-referrer",
			"X-Content-Type-Options":  "nosniff",

			"Cross-Origin-Resource-Policy": "same-origin",
			"Cross-Origin-Opener-Policy":   "same-origin",
			"Permissions-Policy":           permissions,
			"Strict-Transport-Security":    "", // it means nothing over http (RFC 6797, section 7.2)
		} {
			if got := h.Get(name); got != want {
				t.Errorf("%s: %s is %q, want %q", path, name, got, want)
			}
		}
		if len(h.Get("X-Request-Id")) != 36 {
			t.Errorf("%s: request number %q", path, h.Get("X-Request-Id"))
		}
	}
	for _, must := range []string{"default-src 'none'", "style-src 'self'", "form-action 'self'", "base-uri 'none'",
		"frame-ancestors 'none'"} {
		if !strings.Contains(web.ContentSecurityPolicy, must) {
			t.Errorf("the policy has no %s", must)
		}
	}
	for _, not := range []string{"'unsafe-inline'", "'unsafe-eval'", "*", "http:", "https:", "data:"} {
		if strings.Contains(web.ContentSecurityPolicy, not) {
			t.Errorf("the policy lets %s run: %s", not, web.ContentSecurityPolicy)
		}
	}
}

// Over https a browser is told to use nothing else.
func TestOverHTTPSNothingElse(t *testing.T) {
	d := bareDeps(new(bytes.Buffer))
	d.BaseURL = "https://lathmark.example"
	if got := ask(newEcho(d), httptest.NewRequest(http.MethodGet, "/healthz",
		nil)).Header().Get("Strict-Transport-Security"); got != "max-age=31536000; includeSubDomains" {
		t.Errorf("Strict-Transport-Security %q", got)
	}
}

// An address that exists for another method says so (RFC 9110, section 15.5.6),
// and names the methods.
func TestAnotherMethodIsNotAllowed(t *testing.T) {
	e := bare(t, new(bytes.Buffer))
	for _, c := range []struct{ method, path, allow string }{
		{http.MethodPut, web.SignInPath, "GET"}, {http.MethodDelete, "/healthz", "GET"}, {http.MethodPatch, "/tasks", "GET"},
		{http.MethodGet, web.SignOutPath, "POST"}, {http.MethodPatch, "/api/v1/jobs", "GET"},
	} {
		w := ask(e, httptest.NewRequest(c.method, c.path, nil))
		if w.Code != http.StatusMethodNotAllowed || !strings.Contains(w.Header().Get("Allow"), c.allow) {
			t.Errorf("%s %s answers %d, allows %q", c.method, c.path, w.Code, w.Header().Get("Allow"))
		}
	}
	if w := ask(e, httptest.NewRequest(http.MethodPost, "/no-such-page", nil)); w.Code != http.StatusSeeOther ||
		w.Header().Get("Allow") != "" {
		t.Errorf("no such page answers nobody %d, allows %q", w.Code, w.Header().Get("Allow"))
	}
}

// HEAD is answered as GET is, without the content.
func TestHeadIsGetWithoutContent(t *testing.T) {
	log := new(bytes.Buffer)
	e := bare(t, log)
	for _, path := range []string{"/healthz", "/readyz", web.SignInPath, "/robots.txt", "/.well-known/security.txt",
		"/no-such-page", "/api/v1/openapi.json", "/api/v1/jobs", web.WorkerPath} {
		get := ask(e, httptest.NewRequest(http.MethodGet, path, nil))
		head := ask(e, httptest.NewRequest(http.MethodHead, path, nil))
		if head.Code != get.Code || head.Body.Len() != 0 ||
			head.Header().Get("Content-Type") != get.Header().Get("Content-Type") {
			t.Errorf("HEAD %s answers %d with %d bytes, GET %d", path, head.Code, head.Body.Len(), get.Code)
		}
	}
	if w := ask(e, httptest.NewRequest(http.MethodHead, web.SignOutPath, nil)); w.Code != http.StatusMethodNotAllowed {
		t.Errorf("HEAD of what takes POST alone answers %d", w.Code)
	}
	if !strings.Contains(log.String(), "HEAD") {
		t.Error("the log does not say HEAD")
	}
}

// What programs look for by themselves is not there, or says that they may gather nothing.
func TestProgramsThatGatherPagesAreTold(t *testing.T) {
	e := bare(t, new(bytes.Buffer))
	w := ask(e, httptest.NewRequest(http.MethodGet, "/robots.txt", nil))
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "Disallow: /\n") {
		t.Errorf("robots.txt answers %d: %s", w.Code, w.Body)
	}
	for _, path := range []string{"/.well-known/change-password", "/.well-known/x/y"} {
		if w := ask(e, httptest.NewRequest(http.MethodGet, path, nil)); w.Code != http.StatusNotFound {
			t.Errorf("%s answers %d", path, w.Code)
		}
	}
}

// Whoever hangs up is no error of the server's, and an odd method does not fill the log.
func TestTheLogOfThoseWhoHangUp(t *testing.T) {
	log := new(bytes.Buffer)
	e := bare(t, log)
	e.GET("/waits", func(c echo.Context) error { return c.Request().Context().Err() })
	e.GET("/breaks", func(c echo.Context) error { return errors.New("connection reset") })
	gone, stop := context.WithCancel(t.Context())
	stop()
	for _, path := range []string{"/waits", "/breaks"} {
		ask(e, httptest.NewRequestWithContext(gone, http.MethodGet, path, nil))
	}
	ask(e, httptest.NewRequest(strings.Repeat("X", 5000), "/healthz", nil))
	if text := log.String(); strings.Contains(text, "ERROR") || strings.Count(text, "499") != 2 ||
		strings.Contains(text, "XXXX") {
		t.Errorf("%.3000s", text)
	}
}

func TestHealthAndReady(t *testing.T) {
	e := bare(t, new(bytes.Buffer))
	if w := ask(e, httptest.NewRequest(http.MethodGet, "/healthz", nil)); w.Code != http.StatusOK {
		t.Errorf("healthz answers %d", w.Code)
	}
	w := ask(e, httptest.NewRequest(http.MethodGet, "/readyz", nil))
	if w.Code != http.StatusServiceUnavailable || strings.Contains(w.Body.String(), "database") {
		t.Errorf("readyz answers %d %q", w.Code, w.Body)
	}
}

func TestStaticIsKeptForEver(t *testing.T) {
	e := bare(t, new(bytes.Buffer))
	for path, asset := range web.Assets {
		w := ask(e, httptest.NewRequest(http.MethodGet, path, nil))
		if w.Code != http.StatusOK || !bytes.Equal(w.Body.Bytes(), asset.Data) {
			t.Errorf("%s answers %d, %d bytes", path, w.Code, w.Body.Len())
		}
		if got := w.Header().Get("Cache-Control"); !strings.Contains(got, "immutable") {
			t.Errorf("%s: Cache-Control %q", path, got)
		}
	}
}

func TestOtherSitesCannotSend(t *testing.T) {
	e := bare(t, new(bytes.Buffer))
	for _, c := range []struct {
		name, header, value string
		refused             bool
	}{
		{"another site, new browser", "Sec-Fetch-Site", "cross-site", true},
		{"a neighbour's subdomain", "Sec-Fetch-Site", "same-site", true},
		{"our own form", "Sec-Fetch-Site", "same-origin", false},
		{"another site, old browser", "Origin", "https://elsewhere.example", true},
		{"our own form, old browser", "Origin", "http://example.com", false},
		{"this host by another scheme, old browser", "Origin", "https://example.com", true},
		{"from nowhere, old browser", "Origin", "null", true},
		{"no browser", "X-Nothing", "", false},
	} {
		r := httptest.NewRequest(http.MethodPost, "/api/v1/none", strings.NewReader("a=b"))
		r.Header.Set(c.header, c.value)
		if got := ask(e, r).Code; (got == http.StatusForbidden) != c.refused {
			t.Errorf("%s: answers %d", c.name, got)
		}
	}
}

func TestBodyLimit(t *testing.T) {
	e := bare(t, new(bytes.Buffer))
	r := httptest.NewRequest(http.MethodPost, "/api/v1/none", strings.NewReader(strings.Repeat("a", 2<<20+1)))
	if got := ask(e, r).Code; got != http.StatusRequestEntityTooLarge {
		t.Errorf("3 MB answers %d", got)
	}
}

// The log must contain neither what lets somebody in nor what people wrote.
func TestLogHasNoSecrets(t *testing.T) {
	var log bytes.Buffer
	e := bare(t, &log)
	e.GET("/secret/:token", func(echo.Context) error {
		return &fault.Error{Kind: fault.NotFound, Msg: "There is no Ada."}
	})
	r := httptest.NewRequest(http.MethodGet, "/secret/tok-en?q=quest-ion", nil)
	r.Header.Set("Authorization", "head-er")
	ask(e, r)
	if !strings.Contains(log.String(), "route=/secret/:token") || !strings.Contains(log.String(), "fault=\"not found\"") {
		t.Errorf("the log does not say what happened: %s", &log)
	}
	for _, secret := range []string{"tok-en", "quest-ion", "head-er", "Ada", "192.0.2.1"} {
		if strings.Contains(log.String(), secret) {
			t.Errorf("the log holds %s: %s", secret, &log)
		}
	}
}

// An internal error tells the log everything and the browser nothing.
func TestFaultOfOurs(t *testing.T) {
	for name, handler := range map[string]echo.HandlerFunc{
		"error": func(echo.Context) error { return errors.New("table position is on fire") },
		"panic": func(echo.Context) error { panic("table position is on fire") },
	} {
		var log bytes.Buffer
		e := bare(t, &log)
		for _, path := range []string{"/burns", "/api/v1/burns"} {
			e.GET(path, handler)
			w := ask(e, httptest.NewRequest(http.MethodGet, path, nil))
			if w.Code != http.StatusInternalServerError || strings.Contains(w.Body.String(), "fire") {
				t.Errorf("%s %s answers %d: %s", name, path, w.Code, w.Body)
			}
			if !strings.Contains(log.String(), "on fire") || !strings.Contains(log.String(), w.Header().Get("X-Request-Id")) {
				t.Errorf("%s %s: the log does not say why: %s", name, path, &log)
			}
		}
	}
}

func TestStatus(t *testing.T) {
	for _, c := range []struct {
		err  error
		want int
	}{
		{&fault.Error{Kind: fault.BadInput}, 400},
		{&fault.Error{Kind: fault.Refused}, 403},
		{&fault.Error{Kind: fault.NotFound}, 404},
		{&fault.Error{Kind: fault.Conflict}, 409},
		{&fault.Error{Kind: fault.Obstacle}, 422},
		{auth.ErrNobody, 401},
		{echo.ErrMethodNotAllowed, 405},
		{errors.New("anything else"), 500},
	} {
		if got := Status(c.err); got != c.want {
			t.Errorf("Status(%v) = %d, want %d", c.err, got, c.want)
		}
	}
}
