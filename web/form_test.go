package web

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"
)

// element is one start tag of a page.
type element struct {
	name string
	attr map[string]string
}

// read parses a page as XML, which is stricter than HTML: every tag is closed,
// every attribute has a value. It returns the start tags and the words.
func read(t *testing.T, name string, page []byte) (tags []element, words string) {
	t.Helper()
	page = bytes.TrimPrefix(page, []byte("<!DOCTYPE html>"))
	d := xml.NewDecoder(bytes.NewReader(page))
	var text strings.Builder
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return tags, text.String()
		}
		if err != nil {
			t.Fatalf("%s is not well formed: %v", name, err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			e := element{tok.Name.Local, map[string]string{}}
			for _, a := range tok.Attr {
				if _, twice := e.attr[a.Name.Local]; twice {
					t.Errorf("%s: <%s> has two %s", name, e.name, a.Name.Local)
				}
				e.attr[a.Name.Local] = a.Value
			}
			tags = append(tags, e)
			text.WriteByte(' ')
		case xml.CharData:
			text.Write(tok)
		}
	}
}

// TestPagesAreWellFormed: every page parses, ids are unique, and every link
// within the page, label and description leads to an id.
func TestPagesAreWellFormed(t *testing.T) {
	for _, s := range samples() {
		tags, _ := read(t, s.name, s.html(t))
		ids := map[string]bool{}
		for _, e := range tags {
			if id := e.attr["id"]; id != "" {
				if ids[id] {
					t.Errorf("%s: id %s is there twice", s.name, id)
				}
				ids[id] = true
			}
		}
		for _, e := range tags {
			for _, to := range []string{strings.TrimPrefix(e.attr["href"], "#"), e.attr["for"], e.attr["aria-describedby"]} {
				local := to != e.attr["href"] || e.attr["for"] != ""
				if to != "" && local && !ids[to] {
					t.Errorf("%s: <%s> leads to #%s, which is not there", s.name, e.name, to)
				}
			}
			for name, value := range e.attr {
				if value == "" && (name == "href" || name == "action" || name == "id") {
					t.Errorf("%s: <%s> has an empty %s", s.name, e.name, name)
				}
			}
		}
	}
}

// TestPagesKeepThePolicy: nothing that the content-security policy forbids.
func TestPagesKeepThePolicy(t *testing.T) {
	for _, s := range samples() {
		tags, _ := read(t, s.name, s.html(t))
		for _, e := range tags {
			if e.name == "script" && (e.attr["src"] != assetPath("start.js") || e.attr["type"] != "module") {
				t.Errorf("%s: <script src=%q>", s.name, e.attr["src"])
			}
			if e.name == "style" || e.name == "iframe" {
				t.Errorf("%s: <%s>", s.name, e.name)
			}
			for name, value := range e.attr {
				if name == "style" || strings.HasPrefix(name, "on") {
					t.Errorf("%s: <%s %s=%q>", s.name, e.name, name, value)
				}
				if (name == "href" || name == "src" || name == "action") && strings.Contains(value, "//") &&
					s.name != "onward" { // which is there to lead to a provider
					t.Errorf("%s: <%s> leads away: %s", s.name, e.name, value)
				}
			}
		}
	}
}

// TestFormsStandAlone: every form posts, carries the token and has a button,
// but for a search and for what leads on to a page, which write nothing; every field has a label or is in one.
func TestFormsStandAlone(t *testing.T) {
	form := regexp.MustCompile(`(?s)<form .*?</form>`)
	for _, s := range samples() {
		page := s.html(t)
		for _, f := range form.FindAll(page, -1) {
			asks := bytes.Contains(f, []byte(`method="get"`)) && (bytes.Contains(f, []byte(`role="search"`)) ||
				bytes.Contains(f, []byte(`id="goes-on"`)))
			posts := bytes.Contains(f, []byte(`method="post"`)) && bytes.Contains(f, []byte(`name="token" value="tok"`))
			if asks == posts || !bytes.Contains(f, []byte("<button")) {
				t.Errorf("%s: a form without post, token or button: %.150s", s.name, f)
			}
		}
		labels := map[string]bool{}
		tags, _ := read(t, s.name, page)
		for _, e := range tags {
			if e.name == "label" {
				labels[e.attr["for"]] = true
			}
		}
		for _, e := range tags {
			typ := e.attr["type"]
			if (e.name == "input" || e.name == "select" || e.name == "textarea") &&
				typ != "hidden" && typ != "radio" && typ != "checkbox" && !labels[e.attr["id"]] {
				t.Errorf("%s: field %s has no label", s.name, e.attr["name"])
			}
		}
	}
}

// TestOneBlueAction: a page has at most one blue action, a page of leaves at
// most one on each leaf, and says in a sentence what comes next.
func TestOneBlueAction(t *testing.T) {
	for _, s := range samples() {
		page := s.html(t)
		for _, leaf := range bytes.Split(page, []byte(`<section class="leaf"`)) {
			if n := bytes.Count(leaf, []byte(`class="act"`)); n > 1 {
				t.Errorf("%s: %d blue actions", s.name, n)
			}
		}
		if !bytes.Contains(page, []byte(`class="next-says"`)) {
			t.Errorf("%s does not say what to do next", s.name)
		}
	}
}

// softwareWords matches words that nobody says on a building site.
var softwareWords = regexp.MustCompile(
	`(?i)\b(sync|submit|entity|invalid|failed|error|null|undefined|login|log ` +
		`in|username|database|server|click|delete|update|upload|JSON|UUID|ID)\b|NaN|%!`)

// TestPagesSpeakTheTrade: no software words, no leftovers of formatting.
func TestPagesSpeakTheTrade(t *testing.T) {
	for _, s := range samples() {
		_, words := read(t, s.name, s.html(t))
		if w := softwareWords.FindString(words); w != "" {
			at := strings.Index(words, w)
			t.Errorf("%s says %q: …%s…", s.name, w, words[max(0, at-40):min(len(words), at+40)])
		}
	}
}
