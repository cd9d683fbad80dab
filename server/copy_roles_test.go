package server_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"lathmark/domain/firm"
	"lathmark/web"
)

// anew is what differs from one drawing of a page to the next.
var anew = regexp.MustCompile(
	`name="token" value="[^"]*"|"[0-9a-f-]{36}(\.[0-9]+)?" name="token"| data-(?:seqs?|made)="[^"]*"`)

// forms are links to the forms of single readings and holes.
var forms = regexp.MustCompile(`href="(/rooms/[^/"?#]+/(?:readings/[^/"?#]+|positions/[^/"?#]+/outcome))[?#"]`)

// Whoever asks, each page of the copy is to the letter what the router answers
// at its address, but for the names of others, and no form of a reading or a hole that a copied page leads to
// is left out.
func TestCopyIsTheRoutersForEveryRole(t *testing.T) {
	w := newWorld(t)
	newSubject(t, w, "14 Orchard Row")
	atSecondFix(t, w)
	for _, one := range []firm.Person{w.Owner, w.Foreman, w.Electrician, w.Plumber, w.DryLiner, w.Plasterer, w.Decorator} {
		v := w.as(t, one)
		all, kept, found := v.takes(), initialled(t, w, one), 0
		for path, l := range all {
			r := v.do(http.MethodGet, path, nil)
			if r.StatusCode != http.StatusOK || l.Type != r.Header.Get("Content-Type") ||
				kept.Replace(anew.ReplaceAllString(r.body, "")) != anew.ReplaceAllString(*l.Body, "") {
				t.Errorf("%s, %s: %s is not what the router answers: %d", one.Role, one.Trade, path, r.StatusCode)
			}
			for _, m := range forms.FindAllStringSubmatch(*l.Body, -1) {
				found++
				room := strings.Split(m[1], "/")[2]
				_, visited := all[web.Place{Room: room}.RoomPage()]
				if _, there := all[m[1]]; visited && !there {
					t.Errorf("%s, %s: %s leads to %s, which is not in the copy", one.Role, one.Trade, path, m[1])
				}
			}
		}
		if visits := len(all) > 4; visits && found == 0 {
			t.Errorf("%s, %s: no page leads to a form", one.Role, one.Trade)
		}
	}
}
