package server_test

import (
	"net/http"
	"strings"
	"testing"
)

// A bath decides what may hang over it: at 2,200 the ceiling is in zone 1, at
// 2,400 above the zones (BS 7671, 701.32; package caution says how that is
// known).
func TestBathAsksForProtection(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Foreman)
	for height, asks := range map[string]bool{"2200": true, "2400": false} {
		room := v.post(s.path(t, "/jobs/:job/rooms/new"), "name", "Bathroom "+height, "height", height, "shape", "corners",
			"corners", "0 0\n2400 0\n2400 2000\n0 2000", "wet", "bath 0 0 1700 0 1700 700 0 700")
		of := after(t, room, "/rooms/")
		at := "/rooms/" + of
		v.post(at+"/schedule", "name", "B1", "kind", "downlight", "surface", w.called(t, of)["ceiling"], "cut_out", "76",
			"place", "800 400")
		page := v.get(at + "/schedule")
		if got := strings.Contains(page, "IPX4") && strings.Contains(page, "in zone 1") && strings.Contains(page,
			"BS 7671"); got != asks {
			t.Errorf("at %s it asks for protection: %v\n%s", height, got, textOf(page))
		}
	}
}

// A room is exported as a room sheet and imported as another room that says the
// same.
func TestRoomSheetOutAndIn(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Foreman)
	out := v.get(s.path(t, "/rooms/:room/sheet.json"))
	room := v.post(s.path(t, "/jobs/:job/rooms/import"), "name", "Utility again", "sheet", out)
	back := v.get("/rooms/" + after(t, room, "/rooms/") + "/sheet.json")
	if want := strings.Replace(out, `"room": "Utility"`, `"room": "Utility again"`, 1); back != want {
		t.Errorf("it went out as\n%s\nand came back as\n%s", out, back)
	}
	if !strings.Contains(out, `"D1"`) || !strings.Contains(out, "900") {
		t.Errorf("the sheet says too little: %s", out)
	}
}

// If one reason is missing the others are kept, and nothing is signed.
func TestReasonsAreKept(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Foreman)
	at := s.path(t, "/rooms/:room")
	ids := w.called(t, s.ids["room"])
	for _, side := range []string{"south", "west"} {
		v.post(at+"/datums/"+ids[face(t, ids, side)]+"/build-up", "layers", "board 25 boarding")
	}
	v.refused(http.StatusConflict, at+"/sign-offs/first-fix/sign-off")
	v.post(at + "/sign-offs/first-fix/offer")
	html := v.get(at + "/sign-offs/first-fix")
	parts := strings.Split(html, `name="reason.`)[1:]
	if len(parts) < 2 {
		t.Fatalf("%d reasons are asked for:\n%s", len(parts), textOf(html))
	}
	field, _, _ := strings.Cut(parts[0], `"`)
	page := v.refused(http.StatusUnprocessableEntity, at+"/sign-offs/first-fix/sign-off",
		append(hidden(html), "reason."+field, "Both of us <saw> it.")...)
	has(t, page, "without giving a reason", "Both of us &lt;saw&gt; it.")
	if state := w.read(t, s.ids["room"]).Record.Gates[0].State; state.String() != "offered" {
		t.Errorf("first fix is %s", state)
	}
	sign(t, v, at, "first-fix")
	has(t, v.get(at+"/sign-offs/first-fix"), "Seen on site, and agreed.", "fingerprint", "Signed off by Bram Okafor")
	has(t, v.get(at), "First fix is signed off and frozen.")
	has(t, v.refused(http.StatusUnprocessableEntity, s.path(t, "/rooms/:room/readings/:reading"), "datum",
		ids[face(t, ids, "south")]+"|bare", "value", "2600"), "signed off")
	has(t, v.refused(http.StatusBadRequest, at+"/sign-offs/first-fix/reopen", "reason", " "), "reason")
	v.post(at+"/sign-offs/first-fix/reopen", "reason", "The client wants the light moved")
	has(t, v.get(s.path(t, "/jobs/:job/diary")), "The client wants the light moved")
}
