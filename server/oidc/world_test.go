package oidc_test

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/oidc"
	"lathmark/server/oidc/provider"
	"lathmark/server/page/kit"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

const clientSecret = "the-clients-own-secret-0123456789"

// world is a server and a provider, both over HTTP, with an attacker between
// them.
type world struct {
	*dbtest.Site
	t      *testing.T
	at     string // the server's address
	op     *provider.Provider
	middle *middle
	people []provider.Person
	log    *lines
	config []oidc.Config

	mu     sync.Mutex
	passed time.Duration // on the server's clock
}

// newWorld makes one in which the electrician's e-mail address is on record.
// change may alter the provider's options and the server's configuration.
func newWorld(t *testing.T, change func(*provider.Options, *oidc.Config)) *world {
	t.Helper()
	w := &world{Site: dbtest.New(t), t: t, log: &lines{}, middle: &middle{}}
	app, op := httptest.NewUnstartedServer(nil), httptest.NewServer(w.middle)
	t.Cleanup(op.Close)
	w.at = "http://" + app.Listener.Addr().String()
	w.people = []provider.Person{
		{Subject: "s-ines", Name: "Ines Carro", Email: "Ines.Carro@fell.example"},
		{Subject: "s-olek", Name: "Olek Nowik", Email: "olek@fell.example", Unverified: true},
		{Subject: "s-zoe", Name: "Zoe Nobody", Email: "zoe@nowhere.example"},
	}
	options := provider.Options{Issuer: op.URL, EmailInToken: true,
		Client: provider.Client{ID: "lathmark", Secret: clientSecret, Back: w.at + "/sign-in/back/op",
			Out: w.at + "/sign-in/out/op"},
		People: func(context.Context) ([]provider.Person, error) { return w.people, nil }}
	c := oidc.Config{ID: "op", Label: "the office account", Issuer: op.URL, ClientID: "lathmark",
		ClientSecret: clientSecret}
	if change != nil {
		change(&options, &c)
	}
	var err error
	if w.op, err = provider.New(options); err != nil {
		t.Fatal(err)
	}
	w.middle.op = w.op
	w.config = []oidc.Config{c, {ID: "other", Label: "another account", Issuer: "http://127.0.0.1:1", ClientID: "x"}}
	log := slog.New(slog.NewTextHandler(w.log, nil))
	app.Config.Handler = w.serve(w.at, log)
	app.Start()
	t.Cleanup(app.Close)
	w.email(w.Electrician, "ines.carro@fell.example")
	return w
}

// serve returns the server as people reach it at an address.
func (w *world) serve(at string, log *slog.Logger) http.Handler {
	return server.New(server.Deps{
		Services: kit.Services{Firm: w.Firm, Job: w.Job, Desk: w.Desk, Book: w.Book, Diary: w.Diary,
			Now: w.Clock.Now},
		SignIn: auth.Links{}, Providers: oidc.New(w.config, at, log, w.now),
		BaseURL: at, Log: log, Ready: func(context.Context) error { return nil },
	})
}

func (w *world) overHTTPS() http.Handler {
	return w.serve("https://lathmark.example", slog.New(slog.DiscardHandler))
}

func (w *world) now() time.Time {
	w.mu.Lock()
	defer w.mu.Unlock()
	return time.Now().Add(w.passed)
}

// pass advances the server's clock, and not the provider's.
func (w *world) pass(d time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.passed += d
}

func (w *world) email(of firm.Person, email string) {
	w.t.Helper()
	if err := w.Firm.SetEmail(w.t.Context(), w.Owner, of.ID, email); err != nil {
		w.t.Fatal(err)
	}
}

// lines is a log.
type lines struct {
	mu  sync.Mutex
	all bytes.Buffer
}

func (l *lines) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.all.Write(b)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.all.String()
}

// check returns the last failed check in the log.
func (l *lines) check() string {
	all := regexp.MustCompile(`check="?([a-z_ ]+)"?`).FindAllStringSubmatch(l.String(), -1)
	if len(all) == 0 {
		return ""
	}
	return strings.TrimSpace(strings.TrimSuffix(all[len(all)-1][1], " cause"))
}

// middle stands between the server and the provider. Its behaviour is set
// between requests.
type middle struct {
	op *provider.Provider
	mu sync.Mutex
	// down lists paths to which nothing gets through.
	down []string
	// answers changes what the provider answers at a path.
	answers map[string]func(map[string]any)
	// token makes another ID token from the claims.
	token func(claims map[string]any) string
	// repeat lets a code get the same token once more.
	repeat bool
	// last holds what the provider answered last, by path.
	last map[string][]byte
}

func (m *middle) set(change func(*middle)) {
	m.mu.Lock()
	defer m.mu.Unlock()
	change(m)
}

func (m *middle) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if slices.Contains(m.down, r.URL.Path) || slices.Contains(m.down, "all") {
		panic(http.ErrAbortHandler)
	}
	rec := httptest.NewRecorder()
	m.op.ServeHTTP(rec, r)
	body := rec.Body.Bytes()
	if m.repeat && r.URL.Path == "/oauth/token" {
		rec.Code, body = http.StatusOK, m.last[r.URL.Path]
	}
	if m.last == nil {
		m.last = map[string][]byte{}
	}
	m.last[r.URL.Path] = body
	change := m.answers[r.URL.Path]
	if r.URL.Path == "/oauth/token" && m.token != nil {
		change = func(answer map[string]any) { answer["id_token"] = m.token(claimsOf(answer["id_token"].(string))) }
	}
	var answer map[string]any
	if change != nil && rec.Code == http.StatusOK && json.Unmarshal(body, &answer) == nil {
		change(answer)
		body, _ = json.Marshal(answer) // it was JSON before
	}
	for name, values := range rec.Header() {
		w.Header()[name] = values
	}
	w.Header().Del("Content-Length")
	w.WriteHeader(rec.Code)
	_, _ = w.Write(body)
}

// claimsOf reads a token without checking it.
func claimsOf(token string) map[string]any {
	var out map[string]any
	parts := strings.Split(token, ".")
	raw, err := base64.RawURLEncoding.DecodeString(parts[1])
	if err != nil || json.Unmarshal(raw, &out) != nil {
		panic("no token: " + token)
	}
	return out
}

// browser is one person's browser. It follows no redirect by itself.
type browser struct {
	*http.Client
	w *world
}

func (w *world) browser() browser {
	jar, _ := cookiejar.New(nil) // it never fails
	return browser{&http.Client{Jar: jar, CheckRedirect: func(*http.Request,
		[]*http.Request) error {
		return http.ErrUseLastResponse
	}}, w}
}

// reply is an answer with its words.
type reply struct {
	*http.Response
	body string
}

func (r reply) to() string { return r.Header.Get("Location") }

func (b browser) do(method, address string, form url.Values) reply {
	b.w.t.Helper()
	r, err := http.NewRequestWithContext(b.w.t.Context(), method, address, strings.NewReader(form.Encode()))
	if err != nil {
		b.w.t.Fatal(err)
	}
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	got, err := b.Do(r)
	if err != nil {
		b.w.t.Fatal(err)
	}
	defer got.Body.Close()
	body, err := io.ReadAll(got.Body)
	if err != nil {
		b.w.t.Fatal(err)
	}
	return reply{got, string(body)}
}

// begin starts an attempt, with a link or without, and returns the address at the provider.
func (b browser) begin(link string) string {
	b.w.t.Helper()
	r := b.do(http.MethodPost, b.w.at+"/sign-in/with/op", url.Values{"link": {link}})
	to, ok := strings.CutPrefix(r.Header.Get("Refresh"), "0; url=")
	if !ok || !strings.Contains(html.UnescapeString(r.body), `href="`+to) {
		b.w.t.Fatalf("setting out answers %d: %s", r.StatusCode, r.body)
	}
	return to
}

// choose picks an account at the provider, and returns the address that leads
// back.
func (b browser) choose(there, subject string) string {
	b.w.t.Helper()
	asks := b.do(http.MethodGet, there, nil).to()
	at, err := url.Parse(b.w.op.Issuer + asks)
	if err != nil || at.Query().Get("request") == "" {
		b.w.t.Fatalf("the provider leads to %q (%v)", asks, err)
	}
	on := b.do(http.MethodPost, b.w.op.Issuer+"/", url.Values{"request": {at.Query().Get("request")}, "person": {subject}})
	back := b.do(http.MethodGet, b.w.op.Issuer+on.to(), nil)
	if back.to() == "" {
		b.w.t.Fatalf("the provider does not send back: %d %s", back.StatusCode, back.body)
	}
	return back.to()
}

// signIn goes through the whole sign-in, and says yes where it is asked whether to
// tie the account.
func (b browser) signIn(subject string) reply {
	b.w.t.Helper()
	return b.yes(b.do(http.MethodGet, b.choose(b.begin(""), subject), nil))
}

// yes answers a page that asks about one firm.
func (b browser) yes(page reply) reply {
	b.w.t.Helper()
	if !strings.Contains(page.body, "Is this you?") {
		return page
	}
	return b.do(http.MethodPost, b.w.at+"/sign-in/firm", asked(page.body, 0))
}

// asked is the form of one of the firms that a page offers.
func asked(page string, nth int) url.Values {
	out := url.Values{}
	for _, name := range []string{"firm", "person", "asked"} {
		if all := regexp.MustCompile(`name="`+name+`" value="([^"]*)"`).FindAllStringSubmatch(page, -1); nth < len(all) {
			out.Set(name, all[nth][1])
		}
	}
	return out
}

// in returns as whom the browser is signed in, or "".
func (b browser) in() string {
	b.w.t.Helper()
	r := b.do(http.MethodGet, b.w.at+"/api/v1/me", nil)
	var me struct{ Name string }
	if r.StatusCode == http.StatusOK && json.Unmarshal([]byte(r.body), &me) != nil {
		b.w.t.Fatalf("who asks: %s", r.body)
	}
	return me.Name
}

// cookie returns the value of one of the browser's cookies.
func (b browser) cookie(name string) string {
	at, _ := url.Parse(b.w.at) // it is ours
	for _, c := range b.Jar.Cookies(at) {
		if c.Name == name {
			return c.Value
		}
	}
	return ""
}

func (b browser) setCookie(name, value string) {
	at, _ := url.Parse(b.w.at) // it is ours
	b.Jar.SetCookies(at, []*http.Cookie{{Name: name, Value: value, Path: "/"}})
}

// kept keeps the attempt's cookie and the address back, to use them again.
func (b browser) kept(back string) (again func() reply) {
	cookie := b.cookie("lathmark-attempt")
	return func() reply {
		other := b.w.browser()
		other.setCookie("lathmark-attempt", cookie)
		return other.do(http.MethodGet, back, nil)
	}
}

// with returns an address with its query changed.
func with(address string, change func(url.Values)) string {
	at, err := url.Parse(address)
	if err != nil {
		panic(err)
	}
	q := at.Query()
	change(q)
	at.RawQuery = q.Encode()
	return at.String()
}

var (
	tags   = regexp.MustCompile(`<[^>]*>`)
	blanks = regexp.MustCompile(`\s+`)
)

// words are what a person reads on a kit.
func textOf(html string) string {
	_, html, _ = strings.Cut(html, "<body")
	return strings.TrimSpace(blanks.ReplaceAllString(tags.ReplaceAllString(html, " "), " "))
}

// notIn checks that a reply signs nobody in, and because of which check.
func (b browser) notIn(what string, r reply, status int, check string) {
	b.w.t.Helper()
	if r.StatusCode != status {
		b.w.t.Errorf("%s: answers %d, want %d: %s %s", what, r.StatusCode, status, textOf(r.body), r.to())
	}
	for _, c := range r.Cookies() {
		if c.Name == "lathmark" {
			b.w.t.Errorf("%s: a session was given out", what)
		}
	}
	if who := b.in(); who != "" {
		b.w.t.Errorf("%s: %s is in", what, who)
	}
	if got := b.w.log.check(); check != "" && got != check {
		b.w.t.Errorf("%s: it was held up by %q, want %q; %s", what, got, check, fmt.Sprint(textOf(r.body)))
	}
}
