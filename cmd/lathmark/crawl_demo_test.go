package main

import (
	"fmt"
	"html"
	"io"
	"maps"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/cmd/demo/scenario"
	"lathmark/domain/firm"
	"lathmark/persistence"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// wholeCrawl has the crawl follow every link and look at every page in the
// browser, with every rule of axe in each light: LATHMARK_CRAWL=whole. Without it
// a few pages of each kind are looked at.
var wholeCrawl = os.Getenv("LATHMARK_CRAWL") == "whole"

// ofAKind is how many pages of one kind each person is shown unless the crawl is
// whole.
const ofAKind = 6

// crawled is a page of the demo as one person is shown it.
type crawled struct {
	who, path, kind, html string
}

func (c *crawled) String() string { return c.who + " " + c.path }

// crawler walks through the demo as one person, by its links.
type crawler struct {
	t      *testing.T
	url    string
	who    string
	client *http.Client
	kinds  map[string]int // how many pages of each kind it has seen
}

// demoPages serves the demo, without limits on rate, and returns its address and
// the pages that each kind of person finds there.
func demoPages(t *testing.T) (url string, pages []*crawled, jars map[string]http.CookieJar) {
	t.Helper()
	_, db, made := stood(t)
	all := persistence.NewServices(db, time.Now)
	try := map[string]string{}
	for _, p := range made.People {
		try[p.Name] = p.Try
	}
	url = serving(t, live.NewHub(), kit.Services{Firm: all.Firm, Job: all.Job, Desk: all.Desk, Book: all.Book,
		Diary: all.Diary, Photo: all.Photo, Held: all.Held, Programme: all.Programme, Now: time.Now},
		auth.Demo{Firms: all.Firm, Firm: made.Firm, Try: try})
	people, err := auth.Demo{Firms: all.Firm, Firm: made.Firm}.People(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	jars = map[string]http.CookieJar{}
	nobody := newCrawler(t, url, "nobody", jars)
	pages = nobody.walk(append(clientLinks(made), web.SignInPath, web.InvitedPath+"gone", "/nowhere")...)
	for _, one := range people {
		c := newCrawler(t, url, one.Does(), jars)
		c.signIn(one.Person)
		pages = append(pages, c.walk(web.Home, web.TasksPath, "/nowhere", "/search?q=utility")...)
	}
	return url, pages, jars
}

func clientLinks(made scenario.Made) (paths []string) {
	for _, l := range made.Links {
		paths = append(paths, web.ProgressPath+l.Token)
	}
	return paths
}

func newCrawler(t *testing.T, url, who string, jars map[string]http.CookieJar) *crawler {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	jars[who] = jar
	return &crawler{t: t, url: url, who: who, client: &http.Client{Jar: jar}, kinds: map[string]int{}}
}

func (c *crawler) signIn(who firm.Person) {
	c.t.Helper()
	form := url.Values{"person": {who.ID.String()}}
	r, err := http.NewRequestWithContext(c.t.Context(), http.MethodPost, c.url+web.SignInPath,
		strings.NewReader(form.Encode()))
	if err != nil {
		c.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", c.url)
	answer, err := c.client.Do(r)
	if err != nil {
		c.t.Fatal(err)
	}
	_ = answer.Body.Close()
	if answer.StatusCode != http.StatusOK || answer.Request.URL.Path == web.SignInPath {
		c.t.Fatalf("%s cannot sign in: %d", c.who, answer.StatusCode)
	}
}

var crawlLinks = regexp.MustCompile(`href="(/[^"#]*)`)

// walk follows links from some addresses on, and returns the pages in the order in
// which it came to them.
func (c *crawler) walk(next ...string) (pages []*crawled) {
	c.t.Helper()
	seen := map[string]bool{}
	for len(next) > 0 {
		path := next[0]
		next = next[1:]
		kind := kindOfPage(path)
		if seen[path] || strings.HasPrefix(path, "/static/") || strings.HasPrefix(path, "/sessions/data") ||
			!wholeCrawl && c.kinds[kind] >= ofAKind {
			continue
		}
		seen[path] = true
		text, isPage := c.get(path)
		if !isPage {
			continue
		}
		c.kinds[kind]++
		pages = append(pages, &crawled{c.who, path, kind, text})
		for _, m := range crawlLinks.FindAllStringSubmatch(text, -1) {
			next = append(next, html.UnescapeString(m[1]))
		}
	}
	return pages
}

// get returns a page, or says that the address is none: a picture, a file, or one
// that leads on to another page.
func (c *crawler) get(path string) (text string, isPage bool) {
	c.t.Helper()
	r, err := http.NewRequestWithContext(c.t.Context(), http.MethodGet, c.url+path, nil)
	if err != nil {
		c.t.Fatal(err)
	}
	answer, err := c.client.Do(r)
	if err != nil {
		c.t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	if !strings.HasPrefix(answer.Header.Get("Content-Type"), "text/html") ||
		answer.Request.URL.RequestURI() != path {
		return "", false
	}
	all, err := io.ReadAll(answer.Body)
	if err != nil {
		c.t.Fatal(err)
	}
	if answer.StatusCode >= http.StatusInternalServerError {
		c.t.Errorf("%s: %s answers %d", c.who, path, answer.StatusCode)
	}
	return string(all), true
}

var (
	crawlIDs    = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f-]{27}`)
	crawlTokens = regexp.MustCompile(`^/progress/.*`)
)

// kindOfPage is an address with its ids replaced, as its route has them, and with
// the names of what it asks for.
func kindOfPage(address string) string {
	path, query, _ := strings.Cut(address, "?")
	path = crawlTokens.ReplaceAllString(crawlIDs.ReplaceAllString(path, ":id"), "/progress/:token")
	asked, _ := url.ParseQuery(query)
	if len(asked) == 0 {
		return path
	}
	return path + "?" + strings.Join(slices.Sorted(maps.Keys(asked)), "&")
}

var (
	crawlElements = regexp.MustCompile(`<([a-z]+)(?:[^>]*? class="([^"]*)")?`)
	crawlParts    = regexp.MustCompile(`(?s)<(script|style|head)\b.*?</(?:script|style|head)>`)
)

// toLookAt chooses the pages for the browser: of each kind the longest, of each
// person the list of what to do, and every page that has an element of a class
// which no page before it had.
func toLookAt(pages []*crawled) (chosen []*crawled) {
	if wholeCrawl {
		return pages
	}
	longest := map[string]*crawled{}
	for _, p := range pages {
		if was := longest[p.kind]; was == nil || len(p.html) > len(was.html) {
			longest[p.kind] = p
		}
	}
	had := map[string]bool{}
	take := func(p *crawled) (more bool) {
		for _, m := range crawlElements.FindAllStringSubmatch(p.html, -1) {
			more = more || !had[m[1]+"."+m[2]]
			had[m[1]+"."+m[2]] = true
		}
		return more
	}
	for _, kind := range slices.Sorted(maps.Keys(longest)) {
		take(longest[kind])
		chosen = append(chosen, longest[kind])
	}
	for _, p := range pages {
		if longest[p.kind] != p && (p.path == web.TasksPath || take(p)) {
			chosen = append(chosen, p)
		}
	}
	return chosen
}

// stumbles are words that people would stumble over on a page of the trade, with
// what to say instead.
var stumbles = []struct {
	words   *regexp.Regexp
	instead string
}{
	{regexp.MustCompile(`(?i)\bow(e|es|ed|ing)\b`), "to do, left to do"},
	{regexp.MustCompile(`(?i)\b(come|comes|came|coming|go|goes) in\b`), "sign in"},
	{regexp.MustCompile(`(?i)\blets? (you|them|anybody|nobody|somebody) in\b`), "sign in"},
	{regexp.MustCompile(`(?i)\bways? in\b`), "sign-in"},
	{regexp.MustCompile(`(?i)\b(put|puts|keep) on record\b`), "save"},
	{regexp.MustCompile(`(?i)\bwrites? (it )?down\b`), "save, record"},
	{regexp.MustCompile(`(?i)\bmend(s|ed|ing)?\b`), "correct"},
	{regexp.MustCompile(`(?i)\bas put on\b`), "as built"},
	{regexp.MustCompile(`(?i)\b(take|taken|takes|took) (it )?(off|away|out)\b`), "remove"},
	{regexp.MustCompile(`(?i)\bgiven? (it )?up\b`), "left out by the client"},
	{regexp.MustCompile(`(?i)\bcables?['’]s? ways?\b`), "cable run"},
	{regexp.MustCompile(`(?i)\bno layer covers it\b`), "fixed"},
	{regexp.MustCompile(`(?i)\blines? to strike\b`), "lines to snap"},
	{regexp.MustCompile(`(?i)\bset-out sheet\b`), "setting-out sheet"},
	{regexp.MustCompile(`(?i)\b(SHA-256|browser runs no script)\b`), "no software words"},
	{regexp.MustCompile(`(?i)\b(the wall \d+)\b`), "wall 1"},
	{regexp.MustCompile(`(?i)\((bare|board|skim|tile)\)`), "bare, boarded, skimmed, tiled"},
	{regexp.MustCompile(`(?i)\b(s?h[e]|h(i[ms]|ers?)(self)?)\b`), "nobody's sex"},
	{regexp.MustCompile(`(?i)(?:^|\s)-\d+(\.\d+)? ?mm\b|\s-0\b`), "no measure below zero"},
}

var (
	crawlTags  = regexp.MustCompile(`<[^>]*>`)
	crawlSpace = regexp.MustCompile(`\s+`)
	crawlSaid  = regexp.MustCompile(` (?:aria-label|title|alt|data-says)="([^"]*)"`)
)

// wordsOf returns what a page says, to the eye and to the ear.
func wordsOf(page string) string {
	page = crawlParts.ReplaceAllString(page, " ")
	var said []string
	for _, m := range crawlSaid.FindAllStringSubmatch(page, -1) {
		said = append(said, m[1])
	}
	text := crawlTags.ReplaceAllString(page, " ") + " " + strings.Join(said, " ")
	return crawlSpace.ReplaceAllString(html.UnescapeString(text), " ")
}

// stumblesIn returns the words of a page that people would stumble over, and of each
// what is round it and what to say instead.
func stumblesIn(page string) map[string]string {
	out, text := map[string]string{}, wordsOf(page)
	for _, s := range stumbles {
		if at := s.words.FindStringIndex(text); at != nil {
			from, to := max(0, at[0]-30), min(len(text), at[1]+30)
			out[text[at[0]:at[1]]] = fmt.Sprintf("%q stands in %q: say %s", text[at[0]:at[1]], text[from:to], s.instead)
		}
	}
	return out
}

// Each word that people would stumble over is found, and ordinary words are not.
func TestStumbles(t *testing.T) {
	for page, want := range map[string]string{
		"<p>A patch is owed there</p>":                "owed",
		"<a href='/x'>Come&#32;in</a>":                "Come in",
		"<p>Put it <b>down</b></p>":                   "",
		`<button aria-label="Take off J1">X</button>`: "Take off",
		"<p>The cable&#39;s way</p>":                  "cable's way",
		"<p>the mill, 12 - 30 mm</p>":                 "",
		"<p>Ask h&#105;m about it</p>":                "h" + "im",
		"<p>moved -12 mm</p>":                         " -12 mm",
		"<head><title>owed</title></head><p>here</p>": "",
	} {
		got := stumblesIn(page)
		if want == "" && len(got) > 0 || want != "" && (len(got) != 1 || got[want] == "") {
			t.Errorf("%s: %q", page, got)
		}
	}
}

// TestTheDemoSpeaksPlainly: no page of the demo has a word that people would
// stumble over.
func TestTheDemoSpeaksPlainly(t *testing.T) {
	_, pages, _ := demoPages(t)
	if len(pages) < 300 {
		t.Errorf("the crawl found %d pages only", len(pages))
	}
	told := map[string]bool{}
	for _, p := range pages {
		for words, says := range stumblesIn(p.html) {
			if key := p.kind + strings.ToLower(words); !told[key] {
				told[key] = true
				t.Errorf("%s: %s", p, says)
			}
		}
	}
}
