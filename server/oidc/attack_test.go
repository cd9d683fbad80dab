package oidc_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// Somebody is signed in at the provider, and another site leads them here with a link that
// somebody else made for their own second device. Nothing comes of it.
func TestAnotherSiteTiesNobodysAccount(t *testing.T) {
	w := newWorld(t, nil)
	link, _, err := w.Firm.NewDeviceLink(t.Context(), w.Plumber)
	if err != nil {
		t.Fatal(err)
	}
	victim := w.browser()
	victim.signIn("s-ines") // the provider has a session now, too
	session := victim.cookie("lathmark")
	send := func(method, path, site string) reply {
		t.Helper()
		r, err := http.NewRequestWithContext(t.Context(), method, w.at+path, strings.NewReader("link="+link))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Sec-Fetch-Site", site)
		got, err := victim.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer got.Body.Close()
		return reply{Response: got}
	}
	for _, c := range []struct {
		method, path, site string
		status             int
	}{
		{http.MethodGet, "/sign-in/with/op?link=" + link, "cross-site", http.StatusMethodNotAllowed},
		{http.MethodGet, "/sign-in/with/op?link=" + link, "none", http.StatusMethodNotAllowed},
		{http.MethodHead, "/sign-in/with/op?link=" + link, "cross-site", http.StatusMethodNotAllowed},
		{http.MethodPost, "/sign-in/with/op", "cross-site", http.StatusForbidden},
		{http.MethodPost, "/sign-in/with/op", "same-site", http.StatusForbidden},
		{http.MethodPost, "/in/" + link, "cross-site", http.StatusForbidden},
		{http.MethodGet, "/in/" + link, "cross-site", http.StatusOK},
	} {
		r := send(c.method, c.path, c.site)
		if r.StatusCode != c.status || len(r.Cookies()) != 0 || r.Header.Get("Refresh") != "" {
			t.Errorf("%s %s from %s: answers %d, cookies %v", c.method, c.path, c.site, r.StatusCode, r.Cookies())
		}
	}
	if victim.in() != "Ines Carro" || victim.cookie("lathmark") != session {
		t.Errorf("%q is in", victim.in())
	}
	if by, err := w.Firm.Profile(t.Context(), w.Owner, w.Plumber.ID); err != nil || len(by.KnownBy) != 0 {
		t.Errorf("the plumber is known by %v (%v)", by.KnownBy, err)
	}
}

// An attacker who began an attempt leads somebody else into its end, in the hope that
// they work as the attacker from there on, or are tied to the attacker's account.
func TestNobodyEndsWhatSomebodyElseBegan(t *testing.T) {
	w := newWorld(t, nil)
	attacker, victim := w.browser(), w.browser()
	victim.signIn("s-ines")
	back := attacker.choose(attacker.begin(""), "s-zoe")
	w.email(w.Plumber, "zoe@nowhere.example")
	if r := victim.do(http.MethodGet, back, nil); r.StatusCode != http.StatusForbidden || victim.in() != "Ines Carro" {
		t.Errorf("the attacker's way back answers %d, %q is in", r.StatusCode, victim.in())
	}
	// The form that asks is the attacker's, too: it is about no attempt of the victim's.
	page := attacker.do(http.MethodGet, attacker.choose(attacker.begin(""), "s-zoe"), nil)
	form := asked(page.body, 0)
	if form.Get("asked") == "" {
		t.Fatalf("nothing is asked: %s", textOf(page.body))
	}
	if r := victim.do(http.MethodPost, w.at+"/sign-in/firm", form); r.StatusCode != http.StatusForbidden ||
		victim.in() != "Ines Carro" {
		t.Errorf("the attacker's answer is taken: %d, %q is in", r.StatusCode, victim.in())
	}
	// What is asked in one tab is not the answer to what is asked in another.
	first := attacker.do(http.MethodGet, attacker.choose(attacker.begin(""), "s-zoe"), nil)
	attacker.do(http.MethodGet, attacker.choose(attacker.begin(""), "s-zoe"), nil)
	attacker.notIn("the first tab's answer", attacker.do(http.MethodPost, w.at+"/sign-in/firm", asked(first.body, 0)),
		http.StatusForbidden, "")
	changed := asked(first.body, 0)
	changed.Set("person", w.Owner.ID.String())
	attacker.notIn("somebody else put into the form", attacker.do(http.MethodPost, w.at+"/sign-in/firm", changed),
		http.StatusForbidden, "")
	attacker.notIn("nothing put into it", attacker.do(http.MethodPost, w.at+"/sign-in/firm", url.Values{}),
		http.StatusForbidden, "")
}
