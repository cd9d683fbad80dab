package draw

import (
	"bytes"
	"net/url"
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room/roomtest"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// Every form begins with what is on record, and comes back with what was typed
// and what is wrong with it.
func TestFormsBeginWithTheRecordAndKeepWhatIsTyped(t *testing.T) {
	now := time.Date(2026, 3, 9, 12, 0, 0, 0, time.UTC)
	j, err := standing.Of(roomtest.Record(t, roomtest.Sheet(t, "../../..", "kitchen")), now)
	if err != nil {
		t.Fatal(err)
	}
	r := j.Record
	surface, datum, q := r.Surfaces[0].ID.String(), &r.Datums[0], &r.Positions[0]
	comes(t, j, web.Surface, (*scene).surfaceForm, surface, "layers", `value="`+r.Surfaces[0].Name+`"`)
	comes(t, j, web.Surface, (*scene).surfaceForm, "", "outline", "Say what it is")
	comes(t, j, web.Datum, (*scene).newDatum, surface, "from", `value="line" checked="checked"`)
	comes(t, j, web.Datum, (*scene).datumForm, datum.ID.String(), "sigma", `value="`+kit.PointText(datum.A)+`"`)
	comes(t, j, web.BuildUp, (*scene).buildUp, datum.ID.String(), "layers",
		kit.LayersText(r.LayersOf(datum.Surface, datum.ID)))
	comes(t, j, web.Timber, (*scene).timbers, surface, "way_name", `value="spaced" checked="checked"`)
	comes(t, j, web.Position, (*scene).positionForm, q.ID.String(), "reach", `value="`+q.Name+`"`)
	comes(t, j, web.Hold, (*scene).hold, q.ID.String(), "omit_reason", "Hold "+q.Name)
}

func comes[V any](t *testing.T, j *standing.Standing, page web.Page[V],
	view func(*scene, string, web.Typed) (V, error), one, field, begins string) {
	t.Helper()
	by := firm.Person{ID: id.New[id.Member](), Name: "Bram Okafor", Role: firm.Foreman}
	html := func(typed web.Typed) string {
		v, err := view(look(kit.Viewer{By: by, People: kit.People{by.ID: by}}, j, ""), one, typed)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := web.Render(&b, page, v); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	if !strings.Contains(html(web.Typed{}), begins) {
		t.Errorf("%s does not begin with %s", page.Name(), begins)
	}
	again := html(web.Typed{Sent: url.Values{field: {"what was typed"}},
		Faults: []fault.Field{{Path: field, Wrong: "that is not it"}}})
	if !strings.Contains(again, "what was typed") || !strings.Contains(again, "that is not it") {
		t.Errorf("%s has lost what was typed, or does not say what is wrong", page.Name())
	}
}
