package visits

import (
	"bytes"
	"html/template"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room/roomtest"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

var noon = time.Date(2026, 3, 9, 12, 0, 0, 0, time.UTC)

// looked is a room of the invented site as somebody looks at it.
func looked(t *testing.T, p firm.Person) (kit.Viewer, *standing.Standing) {
	t.Helper()
	j, err := standing.Of(roomtest.Record(t, roomtest.Sheet(t, "../../..", "wet-room")), noon)
	if err != nil {
		t.Fatal(err)
	}
	return kit.Viewer{By: p, Firm: "Fell & Daughters", People: kit.People{p.ID: p}, Date: noon}, j
}

func electrician() firm.Person {
	return firm.Person{ID: id.New[id.Member](), Name: "Ola Brandt", Role: firm.Trade, Trade: words.Electrician}
}

func foreman() firm.Person {
	return firm.Person{ID: id.New[id.Member](), Name: "Bram Okafor", Role: firm.Foreman}
}

// drawn is a page as HTML.
func drawn[V any](t *testing.T, p web.Page[V], view V) string {
	t.Helper()
	var b bytes.Buffer
	if err := web.Render(&b, p, view); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// page is a page as HTML.
func page(t *testing.T, p kit.Page, v kit.Viewer, j *standing.Standing, one string) string {
	t.Helper()
	filled, err := p(v, j, one)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := filled.Render(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func says(t *testing.T, page string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(page, w) {
			t.Errorf("the page does not say %q", w)
		}
	}
}

func TestMeasureOffersWhatIsOwed(t *testing.T) {
	v, j := looked(t, electrician())
	view := measure(look(v, j, "Measure"), MeasureFrom{})
	if len(view.Owed) > 0 && view.Form.Position != view.Owed[0].Of[0].Value {
		t.Errorf("it begins with %s, owed first is %s", view.Form.Position, view.Owed[0].Of[0].Value)
	}
	if n := len(view.Owing) + len(view.Settled) + len(view.Elsewhere); n != len(j.Record.Positions) {
		t.Errorf("%d of %d positions are offered", n, len(j.Record.Positions))
	}
	says(t, drawn(t, web.Measure, view), "Measure", j.Record.Name, "An offset", `name="value"`)
}

func TestTailsListsEveryPosition(t *testing.T) {
	v, j := looked(t, electrician())
	view := look(v, j, "Tails").tails()
	if len(view.Tails) != len(j.Record.Positions) || !view.MayDo {
		t.Errorf("%d tails of %d positions, open: %v", len(view.Tails), len(j.Record.Positions), view.MayDo)
	}
	says(t, drawn(t, web.Tails, view), "Look at every tail before the boards go up")
}

func TestHolesAndSetOutListTheSame(t *testing.T) {
	v, j := looked(t, foreman())
	holes, sheet := look(v, j, "Holes").holes(), look(v, j, "Set-out").setOut()
	n := 0
	for _, s := range sheet.Surfaces {
		if n += len(s.Holes); s.First != nil {
			n++
		}
	}
	if len(holes.Leaves) != n || n != len(j.Holes) || n == 0 {
		t.Errorf("%d leaves, %d on the sheet, %d to open", len(holes.Leaves), n, len(j.Holes))
	}
	says(t, drawn(t, web.SetOut, sheet), "Nothing is cut before plaster is signed off.")
	says(t, drawn(t, web.Holes, holes), "Nothing is cut before plaster is signed off.")
	for _, h := range j.Holes {
		says(t, page(t, Outcome, v, j, h.Position.ID.String()), h.Position.Name+" is open", "Hooked out")
	}
}

func TestReadingShowsWhatStands(t *testing.T) {
	v, j := looked(t, electrician())
	for i := range j.Record.Measurements {
		m := &j.Record.Measurements[i]
		view, err := look(v, j, "Reading").reading(m.ID.String())
		if err != nil || view.ReadingID != m.ID.String() || len(view.Datums) == 0 {
			t.Errorf("%s: %v, of %s with %d datums", m.ID, err, view.ReadingID, len(view.Datums))
		}
	}
	says(t, page(t, Patches, v, j, ""), "Nothing is owed here.")
	says(t, page(t, Snags, v, j, ""), "No snag is open.")
	says(t, page(t, Photos, v, j, ""), "Choose what the photo shows")
	says(t, page(t, Finished, v, j, ""), "the earliest dry day counts from it")
	says(t, page(t, AsBuilt, v, j, ""), "Measure what was put on")
}

// One reason may stand for all obstacles of a rule that are ticked; one of its own goes before it.
func TestOneReasonForSeveral(t *testing.T) {
	f := kit.NewForm(url.Values{
		"words.timber_hit.position/a": {"A may cut J1"}, "words.timber_hit.position/b": {"B may cut J1"},
		"words.timber_hit.position/c": {"C may cut J1"}, "words.timber_hit.position/d": {"D may cut J1"},
		"words.not_checked.position/e": {"E is not checked"},
		"words.suspect.measurement/f":  {"F does not fit"}, "words.suspect.measurement/g": {"G does not fit"},
		"all.suspect": {"on"}, "for.suspect": {"seen"},
		"tick.timber_hit.position/a": {"on"}, "tick.timber_hit.position/c": {"on"}, "tick.not_checked.position/e": {"on"},
		"reason.timber_hit.position/b": {"its own"}, "reason.timber_hit.position/c": {"another"}, "for.timber_hit": {"the same"},
	})
	var got []string
	for _, a := range acceptances(f) {
		got = append(got, a.About.ID+": "+a.Wrong+": "+a.Reason)
	}
	want := []string{"a: A may cut J1: the same", "b: B may cut J1: its own", "c: C may cut J1: another", "f: F does not fit: seen",
		"g: G does not fit: seen"}
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("accepted are %q, not %q", got, want)
	}
}

// A gate shows each of its obstacles once, and only whoever runs the jobs signs.
func TestGateShowsItsObstacles(t *testing.T) {
	for _, p := range []firm.Person{electrician(), foreman()} {
		v, j := looked(t, p)
		view, err := gateView(v, j, words.FirstFix, nil)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(view.Hard) + len(view.Soft); n != len(j.Obstacles(words.FirstFix)) || n == 0 {
			t.Errorf("%d obstacles of %d", n, len(j.Obstacles(words.FirstFix)))
		}
		if view.MaySign || view.MayReopen || !view.MayOffer {
			t.Errorf("%s: sign %v, reopen %v, offer %v", p.Role, view.MaySign, view.MayReopen, view.MayOffer)
		}
		j.Record.Gates[words.FirstFix].State = words.Offered
		if view, _ = gateView(v, j, words.FirstFix, nil); view.MaySign && (p.Role != firm.Foreman || len(view.Hard) > 0) {
			t.Errorf("%s may sign over %d hard obstacles", p.Role, len(view.Hard))
		}
		for _, row := range append(view.Hard, view.Soft...) {
			says(t, drawn(t, web.GateSheet, view), template.HTMLEscapeString(row.Wrong))
		}
	}
}
