package server_test

import (
	"net/http"
	"strings"
	"testing"

	"lathmark/domain/caution"
	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
)

// A cable run on the timbers' page: what may be cut is shown before anything
// is, each crossing has its cautions next to it, a joist without a depth asks
// for it, and one press deletes the way. The joist is that of the worked
// example, D 195 and 3,600 long: BS 5268-2 and NHBC 6.4.18 require the hole
// between 900 and 1440, at most 48.75.
func TestCablesWaysThroughTimbers(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Electrician)
	of := w.read(t, s.ids["room"]).Record
	joist := room.Timber{ID: id.New[id.Timber](), Surface: of.Surfaces[0].ID, Name: "J2", A: roomsheet.Point{0, 1200},
		B: roomsheet.Point{3600, 1200}, Width: 47, Depth: 195}
	if _, err := w.Desk.Do(t.Context(), w.Electrician, of.ID, deed.AddTimbers{Timbers: []room.Timber{joist}}); err != nil {
		t.Fatal(err)
	}
	timbers, ways := s.path(t, "/rooms/:room/surfaces/:surface/timbers"), s.path(t, "/rooms/:room/surfaces/:surface/ways")
	page := v.get(timbers)
	has(t, page, "195 deep, 3600 long", "BS 5268-2", "48", "900 to 1440, on the centre line", "252 to 900", "360 to 720",
		"length on the drawing",
		"to D1", "Measure it, take the joist off above", "An I-joist is not cut")
	to := v.post(ways, "way_name", "to D2", "way_kind", "hole", "way_size", "20", "way_height", "97.5", "way_from",
		"1800 900", "way_to", "1800 2000")
	if !strings.HasPrefix(to, timbers) {
		t.Errorf("it leads to %s", to)
	}
	page = v.get(to)
	has(t, page, "cable run is saved.", "1800 from the nearer end, 50 % of its length on the drawing",
		"The hole is 1800 mm from the nearer support; keep it between 900 and 1440 mm from the support.", "NHBC Standards",
		caution.Decide)
	v.post(ways, "way_name", "to D3", "way_kind", "notch", "way_size", "20", "way_from", "2900 900", "way_to", "2900 1500")
	has(t, v.get(timbers), "notch 20 deep", "700 from the nearer end, 19 % of its length on the drawing",
		"The cable is less than 50 mm from the edge of the joist.")
	r := w.read(t, s.ids["room"]).Record
	if len(r.Ways) != 3 {
		t.Fatalf("%d ways", len(r.Ways))
	}
	out := v.post("/rooms/" + s.ids["room"] + "/ways/" + r.Ways[2].ID.String() + "/remove")
	page = v.get(out)
	has(t, page, "cable run is removed.")
	if strings.Contains(page, "notch 20 deep") {
		t.Error("the way that was taken out is still there")
	}
	v.refused(http.StatusNotFound, "/rooms/"+s.ids["room"]+"/ways/"+r.Ways[2].ID.String()+"/remove")
}
