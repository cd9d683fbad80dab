package server_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

// withThree returns a room with three positions measured, at second fix.
func withThree(t *testing.T, w *world) subject {
	t.Helper()
	s := newSubject(t, w, "Mill Loft")
	v := w.as(t, w.Foreman)
	at := s.path(t, "/rooms/:room")
	v.post(at+"/schedule/lines", "lines", "D2 downlight 76\nF1 fan 105", "lines_surface", s.ids["surface"])
	ids := w.called(t, s.ids["room"])
	for name, west := range map[string]string{"D2": "1500", "F1": "2100"} {
		v.post(at+"/measure", "kind", "offset", "position", ids[name], "datum", ids[face(t, ids, "south")]+"|bare", "value",
			"1200", "by", "tape")
		v.post(at+"/measure", "kind", "offset", "position", ids[name], "datum", ids[face(t, ids, "west")]+"|bare", "value",
			west, "by", "tape")
	}
	plastered(t, w, s)
	return s
}

var leaves = regexp.MustCompile(`(?s)<section class="leaf".*?</section>`)

// Each hole has a leaf: the one that proves the set-out comes first, with the
// offsets and their datums, and a form of its own that leads back to the
// remaining leaves.
func TestHolesAreTurnedOneByOne(t *testing.T) {
	w := newWorld(t)
	s := withThree(t, w)
	spark := w.as(t, w.Electrician)
	at, ids := s.path(t, "/rooms/:room"), w.called(t, s.ids["room"])
	for left := 3; left > 0; left-- {
		page := spark.get(at + "/holes")
		got := leaves.FindAllString(page, -1)
		if len(got) != left {
			t.Fatalf("%d leaves, want %d", len(got), left)
		}
		leaf := got[0]
		if strings.Contains(leaf, "it proves the set-out for the others") != (left == 3) {
			t.Errorf("with %d left the first leaf says: %s", left, textOf(leaf))
		}
		has(t, leaf, "1 of ", "south wall", "west wall", "hole saw", "prove it dead")
		if strings.Contains(leaf, `rel="prev"`) || strings.Contains(leaf, `rel="next"`) != (left > 1) {
			t.Errorf("leaf 1 of %d turns to %s", left, textOf(leaf))
		}
		a, b := fieldOf(t, leaf, "from_a"), fieldOf(t, leaf, "from_b")
		if south, west := ids[face(t, ids, "south")], ids[face(t, ids, "west")]; a+b != south+west && a+b != west+south {
			t.Errorf("the offsets are from %s and %s, the walls are %s and %s", a, b, south, west)
		}
		// The same answer from the same page for all: each is a hole of its
		// own.
		to := spark.post(at+"/positions/"+fieldOf(t, leaf, "position")+"/outcome", "token", tokenOf(t, page), "outcome",
			"found",
			"back", fieldOf(t, leaf, "back"), "position", fieldOf(t, leaf, "position"))
		if to != at+"/holes?done=open-hole" {
			t.Errorf("an outcome leads to %s", to)
		}
	}
	has(t, spark.get(at+"/holes"), "No hole is left")
	if n := len(w.read(t, s.ids["room"]).Record.Openings); n != 3 {
		t.Errorf("%d openings on record", n)
	}
}

// Before second fix the leaves say where, and accept no outcome.
func TestHolesWaitForPlaster(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	page := w.as(t, w.Electrician).get(s.path(t, "/rooms/:room/holes"))
	has(t, page, "Nothing is cut before plaster is signed off.", "hole saw 76")
	if strings.Contains(page, "/outcome") {
		t.Error("it takes an outcome before second fix")
	}
	if r := w.as(t, w.Foreman).do(http.MethodGet, "/rooms/"+s.ids["job"]+"/holes",
		nil); r.StatusCode != http.StatusNotFound {
		t.Errorf("holes of no room answer %d", r.StatusCode)
	}
}

// fieldOf returns the value of a hidden field.
func fieldOf(t *testing.T, html, name string) string {
	t.Helper()
	m := regexp.MustCompile(`name="` + name + `" value="([^"]*)"`).FindStringSubmatch(html)
	if m == nil {
		t.Fatalf("no field %s in %s", name, html)
	}
	return m[1]
}
