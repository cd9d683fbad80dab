package main

import (
	"html"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"lathmark/domain/caution"
	"lathmark/domain/firm"
	"lathmark/persistence"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// shownBy is what one reads on a page that shows a caution, by its code.
var shownBy = map[string]string{
	"prove_dead": "prove it dead", "services": "Gas work is for a registered gas engineer",
	"cable_zone": "Run cables within 150 mm of the top of the wall", "zone_socket": "No 230 V socket within",
	"zone": " is in zone ", "zone_protection": "what is fitted must be IPX4 or better",
	"height": "This cannot be reached from the floor", "asbestos": "built or refurbished before 2000",
	"fire_floor":   "Holes must not reduce the fire resistance",
	"fitting_heat": "Keep the clearances round a recessed fitting",
	"dust":         "wear an FFP3 mask", "extract": "An extract fan in a kitchen needs at least 60 l/s",
	"extract_unsaid": "nobody has said what it is used for", "cable_route": "The cable is outside the safe zones",
	"cable_joist": "keep it 50 mm from the top and from the bottom", "cable_notch": "a steel plate over the notch",
	"joist/depth": "The joist is deeper than", "joist/notch_depth": " mm deep, the most is ",
	"joist/notch_place": "The notch is ", "joist/hole_size": " mm across, the most is ",
	"joist/hole_place": "keep it between", "joist/hole_edge": " mm to the edge, the least is ",
	"joist/hole_centre": " mm off the centre line of the joist", "joist/apart": "the least is",
	"joist/webbed": "An I-joist is not cut without its maker's approval",
	"joist/other":  "Before you cut a rafter or a stud, ask an engineer", "dry": "The plaster cannot be dry before",
	"dry_screed": "A screed of 65 mm", "dabs": "boards on dabs",
}

// Each kind of caution shows on some page of the demo, and on every page each one says
// who decides.
func TestTheDemoShowsEachKindOfCaution(t *testing.T) {
	_, db, made := stood(t)
	all := persistence.NewServices(db, time.Now)
	url := serving(t, live.NewHub(), kit.Services{Firm: all.Firm, Job: all.Job, Desk: all.Desk, Book: all.Book,
		Diary: all.Diary, Photo: all.Photo, Held: all.Held, Now: time.Now}, auth.Demo{Firms: all.Firm, Firm: made.Firm})
	people, err := auth.Demo{Firms: all.Firm, Firm: made.Firm}.People(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var foreman firm.Person
	for _, p := range people {
		if p.Role == firm.Foreman {
			foreman = p.Person
		}
	}
	_, session, err := all.Firm.StartSession(t.Context(), made.Firm, foreman.ID)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	for _, path := range cautionPages(t, all, foreman) {
		page := pageAs(t, url+path, session)
		cautions := strings.Count(page, "<b>Caution.</b>")
		if decides := strings.Count(page, caution.Decide); decides < cautions {
			t.Errorf("%s has %d cautions, and says %d times who decides", path, cautions, decides)
		}
		for _, word := range []string{"from memory", "second hand"} {
			if strings.Contains(page, word) {
				t.Errorf("%s says %q", path, word)
			}
		}
		text.WriteString(page)
	}
	for _, code := range caution.Codes {
		if says := shownBy[code]; says == "" || !strings.Contains(text.String(), says) {
			t.Errorf("no page of the demo shows %s: %q", code, says)
		}
	}
}

// cautionPages are the pages of every room that may show a caution.
func cautionPages(t *testing.T, all persistence.Services, by firm.Person) (out []string) {
	jobs, err := all.Job.Jobs(t.Context(), by)
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range jobs {
		rooms, err := all.Desk.Rooms(t.Context(), by, j.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rooms {
			at := web.Place{Room: r.ID.String()}
			out = append(out, at.RoomPage(), at.Schedule(), at.SetOut(), at.Holes(), at.AsBuilt(), at.Finished())
			judged, err := all.Desk.Read(t.Context(), by, r.ID)
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range judged.Record.Surfaces {
				out = append(out, at.Timbers(s.ID.String()))
			}
			for _, h := range judged.Holes {
				out = append(out, at.Outcome(h.Position.ID.String()))
			}
		}
	}
	return out
}

// pageAs is a page as somebody reads it who has a session.
func pageAs(t *testing.T, address, session string) string {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.AddCookie(&http.Cookie{Name: "lathmark", Value: session})
	got, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer got.Body.Close()
	body, err := io.ReadAll(got.Body)
	if err != nil || got.StatusCode != http.StatusOK {
		t.Fatalf("%s answers %d, %v", address, got.StatusCode, err)
	}
	return html.UnescapeString(string(body))
}
