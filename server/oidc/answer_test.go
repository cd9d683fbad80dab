package oidc_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
)

// Everything that can be wrong with a callback, one thing at a time.
func TestComingBackWithSomethingWrong(t *testing.T) {
	w := newWorld(t, nil)
	set := func(name string, values ...string) func(browser, string) string {
		return func(_ browser, back string) string {
			return with(back, func(q url.Values) { q[name] = values })
		}
	}
	for _, c := range []struct {
		what, section string
		change        func(browser, string) string
		check         string
	}{
		{"no state", "RFC 6749 section 10.12", set("state"), "state"},
		{"another state", "RFC 6749 section 10.12", set("state", strings.Repeat("A", 43)), "state"},
		{"the state twice", "RFC 6749 section 3.1", func(_ browser, back string) string {
			return with(back, func(q url.Values) { q["state"] = []string{q.Get("state"), q.Get("state")} })
		}, "state"},
		{"the state of another browser", "RFC 6749 section 10.12", func(b browser, back string) string {
			at, _ := url.Parse(b.w.browser().begin("")) // it was one a moment ago
			return with(back, func(q url.Values) { q.Set("state", at.Query().Get("state")) })
		}, "state"},
		{"no cookie", "RFC 6749 section 10.12", func(b browser, back string) string {
			b.setCookie("lathmark-attempt", "")
			return back
		}, "attempt"},
		{"the cookie of another attempt", "RFC 6749 section 10.12", func(b browser, back string) string {
			b.begin("")
			return back
		}, "state"},
		{"the cookie with another beginning", "the limit of 10 minutes", func(b browser, back string) string {
			secret, _, _ := strings.Cut(b.cookie("lathmark-attempt"), ".")
			b.setCookie("lathmark-attempt", secret+".1.")
			return back
		}, "attempt"},
		{"the cookie with a link put into it", "the link is part of the attempt", func(b browser, back string) string {
			b.setCookie("lathmark-attempt", b.cookie("lathmark-attempt")+"link")
			return back
		}, "state"},
		{"another provider names itself", "RFC 9207 section 2.4", set("iss", "https://elsewhere.example"), "iss"},
		{"the provider lets nobody in", "RFC 6749 section 4.1.2.1", set("error", "access_denied"), "answer"},
		{"no code", "RFC 6749 section 4.1.2", set("code"), "code"},
		{"the code twice", "RFC 6749 section 3.1", set("code", "a", "a"), "code"},
		{"an invented code", "RFC 6749 section 5.2", set("code", "invented"), "code"},
		{"the code of somebody else's attempt", "RFC 9700 section 4.5, RFC 7636 section 1",
			func(b browser, back string) string {
				other := b.w.browser()
				at, _ := url.Parse(other.choose(other.begin(""), "s-ines")) // it was one a moment ago
				return with(back, func(q url.Values) { q.Set("code", at.Query().Get("code")) })
			}, "code"},
		{"at another provider's address", "RFC 9700 section 4.4", func(_ browser, back string) string {
			return strings.Replace(back, "/back/op", "/back/other", 1)
		}, "state"},
	} {
		b := w.browser()
		back := b.choose(b.begin(""), "s-ines")
		b.notIn(c.what+" ("+c.section+")", b.do(http.MethodGet, c.change(b, back), nil), http.StatusForbidden, c.check)
	}
	b := w.browser()
	back := b.choose(b.begin(""), "s-ines")
	w.pass(firm.AttemptLifetime)
	b.notIn("too late", b.do(http.MethodGet, back, nil), http.StatusForbidden, "attempt")
	b.notIn("no such provider", b.do(http.MethodGet, w.at+"/sign-in/back/none", nil), http.StatusNotFound, "")
	w.keepsSecrets()
}

// What was used once is used up: the code at the provider, the attempt here,
// even if a provider accepts its code twice.
func TestNothingIsUsedTwice(t *testing.T) {
	w := newWorld(t, nil)
	b := w.browser()
	back := b.choose(b.begin(""), "s-ines")
	again := b.kept(back)
	b.yes(b.do(http.MethodGet, back, nil))
	if b.in() != "Ines Carro" {
		t.Fatalf("nobody is signed in: %s", w.log.check())
	}
	other := w.browser()
	other.notIn("the same address and cookie again", again(), http.StatusForbidden, "code")

	b = w.browser()
	back = b.choose(b.begin(""), "s-ines")
	again = b.kept(back)
	b.do(http.MethodGet, back, nil)
	w.middle.set(func(m *middle) { m.repeat = true })
	other.notIn("at a provider that takes its code twice", again(), http.StatusForbidden, "")
	w.middle.set(func(m *middle) { m.repeat = false })
	if got := b.cookie("lathmark-attempt"); got != "" {
		t.Errorf("the attempt's cookie stays: %q", got)
	}
}

// What the provider is asked, and what the browser keeps meanwhile.
func TestWhatIsAsked(t *testing.T) {
	w := newWorld(t, nil)
	b := w.browser()
	r := b.do(http.MethodPost, w.at+"/sign-in/with/op", url.Values{})
	at, err := url.Parse(strings.TrimPrefix(r.Header.Get("Refresh"), "0; url="))
	if err != nil {
		t.Fatal(err)
	}
	q := at.Query()
	for name, want := range map[string]string{"response_type": "code", "client_id": "lathmark",
		"redirect_uri": w.at + "/sign-in/back/op",
		"scope":        "openid email", "code_challenge_method": "S256"} { // RFC 7636 section 4.2: S256 if possible
		if q.Get(name) != want {
			t.Errorf("%s is %q, want %q", name, q.Get(name), want)
		}
	}
	seen := map[string]bool{}
	for _, name := range []string{"state", "nonce", "code_challenge"} {
		if len(q.Get(name)) != 43 || seen[q.Get(name)] || strings.Contains(b.cookie("lathmark-attempt"), q.Get(name)) {
			t.Errorf("%s is %q", name, q.Get(name))
		}
		seen[q.Get(name)] = true
	}
	for _, c := range r.Cookies() {
		if c.Name != "lathmark-attempt" || !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" ||
			c.Domain != "" || time.Duration(c.MaxAge)*time.Second != firm.AttemptLifetime {
			t.Errorf("the cookie is %+v", c)
		}
	}
	if page := textOf(b.do(http.MethodGet, w.at+"/sign-in", nil).body); !strings.Contains(page,
		"Sign in with the office account") || !strings.Contains(page, "Sign in with another account") {
		t.Errorf("the sign-in page says %s", page)
	}
}
