package server_test

import (
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"lathmark/domain/firm"
	"lathmark/server"
)

var (
	hrefs   = regexp.MustCompile(`href="(/[^"#]*)`)
	actions = regexp.MustCompile(`method="(get|post)"[^>]* action="(/[^"]*)"`)
)

// Every link on every page leads to a page, and every form to a route that
// accepts it, for each person who can get there.
func TestNoLinkLeadsNowhere(t *testing.T) {
	w := newWorld(t)
	subject := newSubject(t, w, "14 Orchard Row")
	second := atSecondFix(t, w)
	foreman := w.as(t, w.Foreman)
	foreman.post(subject.path(t, "/rooms/:room/snags"), "what", "Scratch on the sill")
	foreman.post(subject.path(t, "/rooms/:room/positions/:position/hold"), "reason", "you have not chosen it")
	closed := newSubject(t, w, "The Old Forge")
	foreman.post(closed.path(t, "/jobs/:job/close"), "anyway", "yes")
	taken := map[string]bool{}
	for _, r := range server.Routes(w.Handler) {
		taken[strings.ToLower(r.Method)+" "+pattern(r.Path)] = true
	}
	for _, who := range []firm.Person{w.Owner, w.Foreman, w.Electrician, w.DryLiner} {
		v := w.as(t, who)
		seen, next := map[string]bool{}, []string{"/", "/tasks", "/ready", subject.path(t, "/jobs/:job"),
			second.path(t, "/rooms/:room"), closed.path(t, "/jobs/:job")}
		for len(next) > 0 && len(seen) < 400 {
			path := next[0]
			next = next[1:]
			if seen[path] || strings.HasPrefix(path, "/static/") {
				continue
			}
			seen[path] = true
			r := v.do(http.MethodGet, path, nil)
			if r.StatusCode == http.StatusForbidden { // the tests' clock makes the walk longer than a sign-in is fresh
				v = w.as(t, who)
				r = v.do(http.MethodGet, path, nil)
			}
			body := read(t, r)
			if r.StatusCode != http.StatusOK && r.StatusCode != http.StatusSeeOther {
				t.Errorf("%s: %s answers %d: %s", who.Name, path, r.StatusCode, textOf(body))
				continue
			}
			if strings.HasSuffix(path, ".json") {
				continue
			}
			for _, m := range hrefs.FindAllStringSubmatch(body, -1) {
				next = append(next, html.UnescapeString(m[1]))
			}
			for _, m := range actions.FindAllStringSubmatch(body, -1) {
				if !taken[m[1]+" "+pattern(m[2])] {
					t.Errorf("%s: a form on %s leads to %s, which takes none", who.Name, path, m[2])
				}
			}
		}
		if len(seen) < 20 {
			t.Errorf("%s found %d pages only", who.Name, len(seen))
		}
		t.Logf("%s: %d pages", who.Name, len(seen))
	}
}

var (
	ids    = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f-]{27}`)
	stages = regexp.MustCompile(`/sign-offs/[a-z-]+`)
)

// pattern returns an address with its ids and its stage replaced, as a route
// has it.
func pattern(path string) string {
	return parameter.ReplaceAllString(stages.ReplaceAllString(ids.ReplaceAllString(path, ":x"), "/sign-offs/:x"), ":x")
}
