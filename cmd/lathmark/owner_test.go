package main

import (
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strings"
	"testing"

	"lathmark/persistence/localpg"
	"lathmark/persistence/pgtest"
)

// The link that the command prints lets the owner in, once.
func TestOwner(t *testing.T) {
	env := settingsFor(t, pgtest.Migrated(t))
	p := begin(t, env, "serve")
	at := "http://" + p.said.find(t, `"on":"([^"]+)"`)
	status, out, says := ran(t, append(env, "LATHMARK_ADDRESS="+at), "owner", "--firm", "Fell & Daughters", "--owner",
		"Ada Fell")
	link := strings.TrimSpace(out)
	if status != statusDone || !strings.HasPrefix(link, at+"/") || !strings.Contains(says, "Ada Fell") {
		t.Fatalf("status %d, %s%s", status, out, says)
	}
	if status, page := get(t, link); status != http.StatusOK || !strings.Contains(page, "button") {
		t.Errorf("looking at the link: %d %s", status, page)
	}
	if where, page := use(t, link); where != at+"/" || !strings.Contains(page, "Ada Fell") || !strings.Contains(page,
		"Fell &amp; Daughters") {
		t.Errorf("using the link leads to %s: %s", where, page)
	}
	if where, _ := use(t, link); where == at+"/" {
		t.Error("the link lets in twice")
	}
	_, of, _ := strings.Cut(says, "firm ")
	of, _, _ = strings.Cut(of, ",")
	env = append(env, "LATHMARK_ADDRESS="+at)
	status, out, says = ran(t, env, "owner", "--again", of, "--owner", "Ada Fell")
	if status != statusDone || !strings.Contains(says, "What signed Ada Fell in has ended") ||
		!strings.Contains(says, "within 10 minutes") {
		t.Fatalf("again: status %d, %s%s", status, out, says)
	}
	if where, page := use(t, strings.TrimSpace(out)); where != at+"/" || !strings.Contains(page, "Ada Fell") {
		t.Errorf("the link for an owner who lost every way in leads to %s: %s", where, page)
	}
	if status, _, says := ran(t, env, "owner", "--again", of, "--owner", "Ada"); status != statusBad ||
		!strings.Contains(says, "no present owner") {
		t.Errorf("for nobody: status %d, %s", status, says)
	}
	p.end(t)
}

// use presses the button of a one-time link in a browser that was never there.
func use(t *testing.T, link string) (where, page string) {
	t.Helper()
	jar, _ := cookiejar.New(nil) // it never fails
	r, err := (&http.Client{Jar: jar}).PostForm(link, url.Values{})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.Request.URL.String(), string(body)
}

func TestOwnerRefuses(t *testing.T) {
	d := pgtest.Migrated(t)
	for _, c := range []struct {
		args   []string
		status int
		says   string
	}{
		{nil, statusUsage, "Usage: lathmark owner"},
		{[]string{"--firm", "Fell"}, statusUsage, "Usage: lathmark owner"},
		{[]string{"--firm", "Fell", "--again", "x", "--owner", "Ada Fell"}, statusUsage, "Usage: lathmark owner"},
		{[]string{"--loud"}, statusUsage, "-loud"},
		{[]string{"--firm", "  ", "--owner", "Ada Fell"}, statusBad, "no name"},
		{[]string{"--firm", "Fell", "--owner", " "}, statusBad, "cannot be added"},
	} {
		if status, out, err := ran(t, settingsFor(t, d), append([]string{"owner"}, c.args...)...); status != c.status ||
			!strings.Contains(err, c.says) || out != "" {
			t.Errorf("%q: status %d, %s%s", c.args, status, out, err)
		}
	}
	// As the server refuses: a role above the rules.
	env := append(settingsFor(t, d), "LATHMARK_DATABASE="+d.URL(localpg.Superuser))
	if status, _, err := ran(t, env, "owner", "--firm", "Fell", "--owner", "Ada Fell"); status != statusBad ||
		!strings.Contains(err, "must not use this role") {
		t.Errorf("as the administrator: status %d, %s", status, err)
	}
}
