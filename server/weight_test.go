package server_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"path"
	"regexp"
	"strings"
	"testing"

	"lathmark/web"
)

// How large a page for trades may be, compressed, without its stylesheet and
// its scripts, which a phone has after the first page; and everything together
// at the first visit, in bytes and in requests. The figures are our own: at 400
// kbit/s 10 kB take a fifth of a second.
const (
	pageLimit     = 12_000
	firstLimit    = 80_000
	requestsLimit = 24
)

var (
	blocking = regexp.MustCompile(`<link rel="stylesheet" href="([^"]+)"`)
	scripts  = regexp.MustCompile(`<script([^>]*) src="([^"]+)"`)
	imported = regexp.MustCompile(`(?:from|import) "\./([^"]+)"`)
	// onPages is a script that is loaded where the page has a class or an attribute.
	onPages = regexp.MustCompile(`if \(document\.querySelector\("[.[]([\w-]+)\]?"\)\) void import\("\./([^"]+)"\)`)
)

// TestWeightOfTheTradePages reports the size of a visit's pages, and keeps them
// small: one stylesheet comes before the first content, and no script.
func TestWeightOfTheTradePages(t *testing.T) {
	w := newWorld(t)
	s := withThree(t, w)
	v := w.as(t, w.Electrician)
	for _, at := range []string{"/tasks", "/rooms/:room/measure", "/rooms/:room/holes", "/rooms/:room/set-out"} {
		page, packed := v.weigh(s.path(t, at))
		sheets, entries := blocking.FindAllStringSubmatch(page, -1), scripts.FindAllStringSubmatch(page, -1)
		if len(sheets) != 1 || len(entries) != 1 || !strings.Contains(entries[0][1], `type="module"`) {
			t.Errorf("%s has %d stylesheets and the scripts %q", at, len(sheets), entries)
			continue
		}
		total, requests := packed, 1
		for _, file := range append(modulesOf(t, entries[0][2], page), sheets[0][1]) {
			_, n := v.weigh(file)
			total, requests = total+n, requests+1
		}
		t.Logf("%s: %d bytes, %d compressed; the first time %d in %d requests, after that 1", at, len(page), packed, total,
			requests)
		if packed > pageLimit || total > firstLimit || requests > requestsLimit {
			t.Errorf("%s is too heavy: %d of %d, the first time %d of %d bytes in %d of %d requests", at, packed, pageLimit,
				total, firstLimit, requests, requestsLimit)
		}
	}
}

// modulesOf returns the addresses of a script and of all that it imports on a page.
func modulesOf(t *testing.T, entry, page string) []string {
	t.Helper()
	out, seen := []string{entry}, map[string]bool{entry: true}
	for i := 0; i < len(out); i++ {
		a, ok := web.Assets[out[i]]
		if !ok {
			t.Fatalf("no script at %s", out[i])
		}
		names := imported.FindAllSubmatch(a.Data, -1)
		found := onPages.FindAllSubmatch(a.Data, -1)
		if n := bytes.Count(a.Data, []byte("import(")); n != len(found) {
			t.Errorf("%s: of %d imports that depend on the page %d can be read", out[i], n, len(found))
		}
		for _, m := range found {
			if strings.Contains(page, string(m[1])) {
				names = append(names, m[1:])
			}
		}
		for _, m := range names {
			if at := path.Dir(entry) + "/" + string(m[1]); !seen[at] {
				seen[at] = true
				out = append(out, at)
			}
		}
	}
	return out
}

// weigh fetches a page as a browser does, compressed, and returns its text and
// the number of bytes sent.
func (v visitor) weigh(at string) (text string, packed int) {
	v.t.Helper()
	r := httptest.NewRequest(http.MethodGet, at, nil)
	r.Header.Set("Accept-Encoding", "gzip")
	r.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
	w := httptest.NewRecorder()
	v.w.ServeHTTP(w, r)
	if w.Code != http.StatusOK || w.Header().Get("Content-Encoding") != "gzip" && w.Body.Len() > 1024 {
		v.t.Fatalf("%s answers %d, encoded %q, %d bytes", at, w.Code, w.Header().Get("Content-Encoding"), w.Body.Len())
	}
	packed = w.Body.Len()
	if w.Header().Get("Content-Encoding") != "gzip" {
		return w.Body.String(), packed
	}
	z, err := gzip.NewReader(w.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	all, err := io.ReadAll(z)
	if err != nil {
		v.t.Fatal(err)
	}
	return string(all), packed
}

// TestCompress: text is compressed only for clients that accept it, and what is
// compressed already is left alone.
func TestCompress(t *testing.T) {
	w := newWorld(t)
	for at, a := range web.Assets {
		for _, accepts := range []string{"", "gzip"} {
			r := httptest.NewRequest(http.MethodGet, at, nil)
			r.Header.Set("Accept-Encoding", accepts)
			got := httptest.NewRecorder()
			w.ServeHTTP(got, r)
			want := ""
			if accepts != "" && !strings.HasSuffix(at, ".png") && len(a.Data) >= 1024 {
				want = "gzip"
			}
			if enc := got.Header().Get("Content-Encoding"); enc != want {
				t.Errorf("%s for %q is encoded %q, want %q", at, accepts, enc, want)
			}
		}
	}
}
