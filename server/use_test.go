package server_test

import (
	"net/http"
	"strings"
	"testing"

	"lathmark/domain/words"
)

// Extract goes by what a room is used for, never by what it is called, and until somebody
// says it the page says that nothing is shown.
func TestExtractGoesByTheUseOfTheRoom(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Foreman)
	page, name := s.path(t, "/rooms/:room"), s.path(t, "/rooms/:room/name")
	rename := func(called, use string) {
		t.Helper()
		read := w.read(t, s.ids["room"]).Record
		v.post(name, "name", called, "use", use)
		now := w.read(t, s.ids["room"]).Record
		if string(now.Use) != use || now.Name != called {
			t.Fatalf("%q used as %q became %q used as %q", read.Name, read.Use, now.Name, now.Use)
		}
	}
	rename("Bathroom", "")
	if got := v.get(page); !strings.Contains(textOf(got), "nobody has said what it is used for") ||
		strings.Contains(got, "l/s") {
		t.Error("a room of which nobody said the use is told what extract it needs, or not that it is not told")
	}
	rename("Old store", string(words.Kitchen))
	has(t, v.get(page), "An extract fan in a kitchen needs at least 60 l/s (216 m³/h), 30 l/s (108 m³/h) with a cooker hood",
		"Approved Document F", "check the current edition")
	rename("Bathroom", string(words.Bedroom))
	if got := v.get(page); strings.Contains(got, "l/s") || strings.Contains(got, "nobody has said") {
		t.Error("a bedroom is told what extract it needs")
	}
	has(t, v.get(name), `<option value="bedroom" selected="selected">Bedroom</option>`)
	v.refused(http.StatusBadRequest, name, "name", "Bathroom", "use", "sauna")
}
