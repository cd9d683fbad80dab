package server_test

import (
	"html"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/google/uuid"
)

// Every form with something to mend comes back with what was typed and with
// what is wrong.
func TestFormsKeepWhatWasTyped(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Foreman)
	at := func(route string) string { return s.path(t, route) }
	for _, c := range []struct {
		route string
		typed []string // field, value ...; each value must come back
		says  string
	}{
		{"/jobs/new", []string{"name", "", "address", "Ash <Row> & Co"}, "name is missing"},
		{"/jobs/:job/rooms/new", []string{"name", "Pantry", "height", "24oo", "shape", "walls", "walls",
			"3600 left\nabout two", "breasts", "north 1 2", "slopes", "x"}, "24oo"},
		{"/jobs/:job/rooms/new", []string{"name", "Pantry", "height", "2400", "shape", "walls", "walls",
			"3600 left\n2400 left\n3600 left\n2000 left"}, "from where they began"},
		{"/jobs/:job/rooms/new", []string{"name", "Pantry", "height", "2400", "shape", "corners", "corners",
			"0 0\n3600 0\n0 2400\n3600 2400"}, "crosses"},
		{"/jobs/:job/rooms/new", []string{"name", "Pantry", "height", "2400", "shape", "corners", "corners",
			"0 0\n3600 0\n3600 2400\n0 2400", "wet", "bath 1 2 3"}, "no bath or shower"},
		{"/jobs/:job/rooms/import", []string{"name", "Pantry", "sheet", `{"format":"no such"}`}, "format"},
		{"/build-ups", []string{"name", "Brick", "layers", "board boarding"}, "no thickness"},
		{"/rooms/:room/surfaces/new", []string{"name", "North slope", "kind", "slope", "layers", "board 12"}, "no stage"},
		{"/rooms/:room/surfaces/:surface", []string{"layers", "board thick boarding"}, "no thickness"},
		{"/rooms/:room/surfaces/:surface/datums/new", []string{"name", "steel", "kind", "line", "from", "here", "sigma",
			"two"}, "no place"},
		{"/rooms/:room/surfaces/:surface/datums/new", []string{"name", "steel", "kind", "line", "from", "0 0", "to", "0 0"},
			""},
		{"/rooms/:room/datums/:datum/build-up", []string{"layers", "skim thin plaster"}, "no thickness"},
		{"/rooms/:room/surfaces/:surface/timbers", []string{"shape", "spaced", "first", "450", "spacing", "six hundred",
			"name", "J2", "width", "47"}, "six hundred"},
		{"/rooms/:room/surfaces/:surface/ways", []string{"way_name", "to <D2>", "way_kind", "notch", "way_size", "twenty",
			"way_from", "900 0", "way_height", "97"}, "twenty"},
		{"/rooms/:room/surfaces/:surface/ways", []string{"way_name", "to D2", "way_kind", "notch", "way_size", "20",
			"way_from", "0 600", "way_to", "900 601", "way_height", "97"}, "leave it empty for a notch"},
		{"/rooms/:room/surfaces/:surface/ways", []string{"way_name", "to D1", "way_kind", "hole", "way_size", "21",
			"way_from", "0 600", "way_to", "900 602"}, "has this name"},
		{"/rooms/:room/schedule", []string{"name", "D2", "cut_out", "1,200", "place", "somewhere"}, "1,200"},
		{"/rooms/:room/schedule", []string{"name", "D1", "surface", s.ids["surface"], "cut_out", "77"},
			"the room has D1 already"},
		{"/rooms/:room/schedule/lines", []string{"lines", "D2 downlight 76\nD3, downlight, wide", "lines_surface",
			s.ids["surface"]}, "wide"},
		{"/rooms/:room/schedule/spaced", []string{"rows", "0", "columns", "three", "prefix", "E", "spaced_cut_out", "76"},
			"number of rows"},
		{"/rooms/:room/positions/:position", []string{"name", "D1", "surface", s.ids["surface"], "cut_out", "76 or 80",
			"reach", "70"}, "76 or 80"},
		{"/rooms/:room/positions/:position/hold", []string{"reason", " "}, "no reason"},
		{"/rooms/:room/positions/:position/omit", []string{"omit_reason", ""}, "no reason"},
		{"/rooms/:room/measure", []string{"kind", "offset", "position", s.ids["position"], "value", "6oo", "by", "laser"},
			"6oo"},
		{"/rooms/:room/measure", []string{"kind", "offset", "position", s.ids["position"], "datum", s.ids["datum"] + "|bare",
			"value", "612000", "by", "rule"}, "A length here is 100 m at most"},
		{"/rooms/:room/measure", []string{"kind", "offset", "position", s.ids["position"], "datum", s.ids["datum"] + "|bare",
			"value", "1600", "by", "tape"}, "600 was recorded by " + w.Foreman.Name},
		{"/rooms/:room/measure", []string{"kind", "offset", "position", s.ids["position"], "datum", s.ids["datum"] + "|bare",
			"value", "1600", "by", "tape"},
			"; 1600 differs by 1000. One of them is wrong: replace it, or measure a third time."},
		{"/rooms/:room/readings/:reading", []string{"datum", s.ids["datum"] + "|bare", "value", "61 2"}, "61 2"},
		{"/rooms/:room/readings/:reading/strike", []string{"reason", ""}, "no reason"},
		{"/rooms/:room/tails", nil, "no tail is ticked"},
		{"/rooms/:room/photos/:photo/strike", []string{"reason", ""}, "there is no reason"},
		{"/rooms/:room/as-built", []string{"span_pair", "", "span", "355o"}, "355o"},
		{"/rooms/:room/finished", []string{"date", "yesterday"}, "no day"},
		{"/rooms/:room/positions/:position/outcome", []string{"outcome", "not_found", "off_a", "601", "note",
			"behind <wool>"}, "has no place"},
		{"/rooms/:room/snags", []string{"what", "", "where", "by the door"}, "what is wrong"},
	} {
		body := v.refusedAs(at(c.route), c.typed...)
		if !strings.Contains(html.UnescapeString(body), c.says) {
			t.Errorf("%s does not say %q:\n%s", c.route, c.says, textOf(body))
		}
		for i := 0; i+1 < len(c.typed); i += 2 {
			value := strings.TrimSpace(c.typed[i+1])
			if !strings.Contains(strings.ReplaceAll(html.UnescapeString(body), "\r\n", "\n"), value) {
				t.Errorf("%s lost what was typed into %s: %q", c.route, c.typed[i], value)
			}
		}
	}
}

// refusedAs sends a form that has to be mended: 400, or 409 if something else
// has the name.
func (v visitor) refusedAs(path string, pairs ...string) string {
	v.t.Helper()
	r := v.do(http.MethodPost, path, fields(pairs...))
	body := read(v.t, r)
	if r.StatusCode != http.StatusBadRequest && r.StatusCode != http.StatusConflict {
		v.t.Errorf("POST %s answers %d:\n%s", path, r.StatusCode, textOf(body))
	}
	return body
}

// The same button pressed twice makes one record; going back to write another
// makes another.
func TestPressedTwice(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Foreman)
	token := uuid.Must(uuid.NewV7()).String()
	for range 2 {
		v.post("/jobs/new", "token", token, "name", "Mill Loft")
		v.post(s.path(t, "/jobs/:job/rooms/new"), "token", token, "name", "Pantry", "height", "2400", "shape", "corners",
			"corners", "0 0\n3600 0\n3600 2400\n0 2400")
		v.post(s.path(t, "/rooms/:room/schedule"), "token", token, "name", "D2", "surface", s.ids["surface"], "kind",
			"downlight")
		v.post(s.path(t, "/rooms/:room/schedule/lines"), "token", token, "lines", "E1 pipe tail 22\nE2 socket",
			"lines_surface", s.ids["surface"])
		v.post(s.path(t, "/rooms/:room/schedule/spaced"), "token", token, "spaced_surface", s.ids["surface"], "rows", "2",
			"columns", "3", "prefix", "F", "spaced_kind", "downlight")
		v.post(s.path(t, "/rooms/:room/measure"), "token", token, "kind", "offset", "position", s.ids["position"], "datum",
			s.ids["datum"]+"|bare", "value", "601", "by", "tape", "again", "both",
			"shown", s.ids["reading"]+".1")
		v.post(s.path(t, "/rooms/:room/snags"), "token", token, "what", "Scratch")
	}
	v.post(s.path(t, "/rooms/:room/schedule"), "token", token, "name", "D3", "surface", s.ids["surface"], "kind",
		"downlight")
	room := w.read(t, s.ids["room"])
	if n := len(room.Record.Positions); n != 1+1+2+6+1 {
		t.Errorf("%d positions", n)
	}
	if n := len(room.Record.Measurements); n != 3 {
		t.Errorf("%d measurements", n)
	}
	if n := len(room.Record.Snags); n != 1 {
		t.Errorf("%d snags", n)
	}
	if kind := room.Record.Positions[2]; kind.Name != "E1" || kind.Kind != "pipe tail" || kind.Cutout != 22 {
		t.Errorf("a pasted line became %+v", kind)
	}
	jobs, err := w.Job.Jobs(t.Context(), w.Foreman)
	if err != nil || len(jobs) != 2 {
		t.Errorf("%d jobs, %v", len(jobs), err)
	}
	rooms, err := w.Desk.Rooms(t.Context(), w.Foreman, room.Record.Job)
	if err != nil || len(rooms) != 2 {
		t.Errorf("%d rooms, %v", len(rooms), err)
	}
}

// Two people change one position: the second sees both versions, and nothing
// is lost.
func TestTwoVersions(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Foreman)
	path := s.path(t, "/rooms/:room/positions/:position")
	first, second := tokenOf(t, v.get(path)), tokenOf(t, v.get(path))
	form := func(token, cut string) url.Values {
		return fields("token", token, "name", "D1", "kind", "downlight", "surface", s.ids["surface"], "cut_out", cut, "place",
			"900 600")
	}
	if r := v.do(http.MethodPost, path, form(first, "80")); r.StatusCode != http.StatusSeeOther {
		t.Fatalf("the first change answers %d: %s", r.StatusCode, textOf(read(t, r)))
	}
	r := v.do(http.MethodPost, path, form(second, "83"))
	body := read(t, r)
	if r.StatusCode != http.StatusConflict {
		t.Fatalf("the second change answers %d: %s", r.StatusCode, textOf(body))
	}
	has(t, body, "Bram Okafor changed D1", "80", "83", "differs", "Open the form again")
	if got := w.read(t, s.ids["room"]).Record.Positions[0].Cutout; got != 80 {
		t.Errorf("the cut-out is %g", got)
	}
}

func tokenOf(t *testing.T, body string) string {
	t.Helper()
	_, rest, ok := strings.Cut(body[strings.LastIndex(body, `class="entry"`):], `name="token" value="`)
	if !ok {
		t.Fatal("the page has no token")
	}
	token, _, _ := strings.Cut(rest, `"`)
	return token
}
