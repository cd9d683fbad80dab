package server_test

import (
	"bytes"
	"context"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/words"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// logTo has the world's server write its log there.
func (w *world) logTo(log *bytes.Buffer) {
	w.Handler = server.New(server.Deps{
		Services: kit.Services{Firm: w.Firm, Job: w.Job, Desk: w.Desk, Book: w.Book, Diary: w.Diary,
			Now: w.Clock.Now},
		SignIn:  auth.Demo{Firms: w.Firm, Firm: w.Owner.Firm},
		BaseURL: "http://127.0.0.1:8080",
		Log:     slog.New(slog.NewTextHandler(log, &slog.HandlerOptions{Level: slog.LevelDebug})),
		Ready:   func(context.Context) error { return nil },
	})
}

// Each sign-in that is tried is in the log with its way, what came of it and, where it is
// known, who it was; so is the end of a session.
func TestTheLogSaysWhoSignsInAndHow(t *testing.T) {
	w := newWorld(t)
	var log bytes.Buffer
	w.logTo(&log)
	nobody := visitor{t: t, w: w}
	says := func(want string, method, path string, form url.Values, v visitor) reply {
		t.Helper()
		log.Reset()
		r := v.do(method, path, form)
		if !strings.Contains(log.String(), want) {
			t.Errorf("%s %s: %s, want %s", method, path, &log, want)
		}
		return r
	}
	link, err := w.Firm.OneTimeLink(t.Context(), w.Owner, w.Plumber.ID)
	if err != nil {
		t.Fatal(err)
	}
	_, code, err := w.Firm.Invite(t.Context(), w.Foreman, firm.Invitation{Role: firm.Trade, Trade: words.Tiler,
		EveryJob: true})
	if err != nil {
		t.Fatal(err)
	}
	in := says("sign_in=link outcome=in member="+w.Plumber.ID.String(), http.MethodPost, "/in/"+link, fields(), nobody)
	says("sign_in=link outcome=refused", http.MethodPost, "/in/"+link, fields(), nobody)
	says("sign_in=code outcome=refused", http.MethodPost, "/invited/"+code, fields("name", ""), nobody)
	says("sign_in=code outcome=in member=", http.MethodPost, "/invited/"+code, fields("name", "Dara Quill"), nobody)
	says("sign_in=code outcome=refused", http.MethodPost, "/invited/"+code, fields("name", "Dara Quill"), nobody)
	says("sign_in=passkey outcome=refused", http.MethodPost, "/sign-in/passkey", fields(), nobody)
	says("sign_in=provider outcome=refused", http.MethodGet, "/sign-in/back/office", nil, nobody)
	says("sign_in=provider outcome=refused", http.MethodPost, "/sign-in/firm", fields("firm", "x"), nobody)
	says("sign_in=form outcome=refused", http.MethodPost, "/sign-in", fields("person", link), nobody)
	says("sign_in=form outcome=in member="+w.Owner.ID.String(), http.MethodPost, "/sign-in",
		fields("person", w.Owner.ID.String()), nobody)

	plumber, owner := visitor{t, w, in.Cookies()[0].Value}, w.as(t, w.Owner)
	says("who="+w.Owner.ID.String()+" ended=sessions member="+w.Plumber.ID.String(), http.MethodPost,
		"/people/"+w.Plumber.ID.String()+"/sign-out", fields(), owner)
	says("outcome=refused", http.MethodPost, "/in/"+link, fields(), plumber)
	says("who="+w.Owner.ID.String()+" ended=sessions", http.MethodPost, "/sign-out", fields(), owner)
	if log.Reset(); owner.do(http.MethodGet, "/", nil).StatusCode != http.StatusSeeOther ||
		strings.Contains(log.String(), "who=") {
		t.Errorf("whose session has ended is somebody: %s", &log)
	}
}

// The log knows people by their ids alone. It holds no name, no secret, no word that somebody
// typed and no address: every route is requested, with everything marked that a request can carry.
func TestTheLogHoldsNothingOfAnybody(t *testing.T) {
	w := newWorld(t)
	var log bytes.Buffer
	w.logTo(&log)
	named := w.Add(t, "Quillon Marrowby", firm.Trade, words.Electrician)
	s := newSubject(t, w, "Thistlewick Yard")
	if _, err := w.Job.Create(t.Context(), w.Foreman,
		job.Job{Name: "Bramblecote", Address: "9 Fennimore Lane"}); err != nil {
		t.Fatal(err)
	}
	foreman, electrician := w.as(t, w.Foreman), w.as(t, named)
	_, key, err := w.Firm.MakeKey(t.Context(), w.Foreman, "Wexcombe", firm.KeyRuns, 48*60*60*1e9)
	if err != nil {
		t.Fatal(err)
	}
	secret := s.ids["link"]
	asked := 0
	for _, r := range server.Routes(w.Handler) {
		if r.Path == web.SignOutPath || r.Path == web.LivePath {
			continue // the one ends the session, the other goes on
		}
		path := parameter.ReplaceAllStringFunc(r.Path, func(p string) string {
			if id := s.ids[p[1:]]; id != "" && p != ":token" {
				return id
			}
			return "zz" + secret[2:] // a well-formed secret that leads nowhere
		})
		form := url.Values{}
		for _, field := range []string{"name", "address", "reason", "what", "note", "person", "says", "walls", "value",
			"layers", "lines", "sheet", "token", "acts"} {
			form.Set(field, "Typedword "+field)
		}
		for _, v := range []visitor{foreman, electrician, {t: t, w: w}} {
			body := form.Encode()
			if strings.HasPrefix(r.Path, "/api/") {
				body = `{"name":"Typedword","says":"Typedword","id":"Typedword"}`
			}
			q := httptest.NewRequest(r.Method, strings.TrimSuffix(path, "*")+"?q=Typedword", strings.NewReader(body))
			q.Header.Set("Content-Type", map[bool]string{true: "application/json",
				false: "application/x-www-form-urlencoded"}[body[0] == '{'])
			q.Header.Set("User-Agent", "Agentword Chrome/1")
			q.Header.Set("Referer", "https://lathmark.example/Refererword")
			q.Header.Set("X-Forwarded-For", "203.0.113.77")
			q.RemoteAddr = "198.51.100.23:999"
			if v.session != "" {
				q.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
			} else if strings.HasPrefix(r.Path, "/api/") {
				q.Header.Set("Authorization", "Bearer "+key)
			}
			w.ServeHTTP(httptest.NewRecorder(), q)
			asked++
		}
	}
	text := log.String()
	if asked < 300 || strings.Count(text, "route=") < asked {
		t.Errorf("%d requests, %d lines", asked, strings.Count(text, "route="))
	}
	for _, who := range []firm.Person{w.Foreman, named} {
		if n := strings.Count(text, "who="+who.ID.String()); n < 50 {
			t.Errorf("%s asked %d times by the log", who.Name, n)
		}
	}
	for _, mark := range []string{"Quillon", "Marrowby", w.Foreman.Name, "Fell", "Thistlewick", "Bramblecote", "Fennimore",
		"Wexcombe", "Typedword", "Agentword", "Refererword",
		"203.0.113", "198.51.100", key[10:40], secret[10:40], foreman.session[:40], electrician.session[20:60], "D1"} {
		if i := strings.Index(text, mark); i >= 0 {
			t.Errorf("the log holds %q: %s", mark, text[max(0, i-300):min(len(text), i+100)])
		}
	}
}
