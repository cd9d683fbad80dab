package server_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// A steel has two sides. Nobody on site says minus: people say towards which
// wall, and the record stores the sign.
func TestSidesOfASteel(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	foreman, spark := w.as(t, w.Foreman), w.as(t, w.Electrician)
	foreman.post(s.path(t, "/rooms/:room/surfaces/:surface/datums/new"), "name", "steel", "kind", "line", "from", "0 1500",
		"to", "3600 1500")
	steel := w.called(t, s.ids["room"])["steel"]
	measure := s.path(t, "/rooms/:room/measure")
	has(t, spark.get(measure), "steel, towards the north wall", "steel, towards the south wall")
	for _, c := range []struct {
		side, value string
		want        float64
		says        string
	}{
		{"-", "872", -872, "872 from steel, towards the south wall"},
		{"+", "301", 301, "301 from steel, towards the north wall"},
	} {
		pairs := []string{"kind", "offset", "position", s.ids["position"], "datum", steel + "|" + c.side, "value", c.value,
			"by", "tape", "again", "both"}
		for _, m := range w.read(t, s.ids["room"]).Record.Measurements {
			pairs = append(pairs, "shown", fmt.Sprintf("%s.%d", m.ID, m.Version))
		}
		page := spark.get(spark.post(measure, pairs...))
		has(t, page, c.says)
		all := w.read(t, s.ids["room"]).Record.Measurements
		m := all[len(all)-1]
		if m.Value != c.want || m.State != "" {
			t.Errorf("%s on side %s became %g, state %q", c.value, c.side, m.Value, m.State)
		}
		mend := spark.get(s.path(t, "/rooms/:room/readings/") + m.ID.String())
		if strings.Contains(mend, `value="-`) {
			t.Errorf("the form to mend it shows a minus")
		}
		spark.post(s.path(t, "/rooms/:room/readings/")+m.ID.String(), "datum", steel+"|"+c.side, "value", c.value, "by",
			"laser")
		if again := w.read(t, s.ids["room"]).Record.Measurements[len(all)-1]; again.Value != c.want || again.By != "laser" {
			t.Errorf("after mending only the instrument it is %+v", again)
		}
	}
	for _, side := range []string{"+", "-"} { // whichever side it would be on, no tape reads it
		before := len(w.read(t, s.ids["room"]).Record.Measurements)
		page := spark.refused(http.StatusBadRequest, measure, "kind", "offset", "position", s.ids["position"], "datum",
			steel+"|"+side, "value", "-899", "by", "tape", "again", "both")
		has(t, page, "no tape reads minus", "Type 899, and choose the side that it was measured on")
		if all := w.read(t, s.ids["room"]).Record.Measurements; len(all) != before {
			t.Errorf("-899 on side %s is on record", side)
		}
	}
	if room := spark.get(s.path(t, "/rooms/:room")); strings.Contains(textOf(room), "-872") {
		t.Error("the room's page shows a minus")
	}
}
