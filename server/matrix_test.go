package server_test

import (
	"flag"
	"fmt"
	"net/http"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/photo"
	"lathmark/domain/programme"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/server"
	"lathmark/web"
)

var update = flag.Bool("update", false, "write the matrix of routes and roles anew")

const matrixFile = "testdata/matrix.txt"

// subject is one of the firm's jobs, with a room, that one column of the matrix
// works on, so that people do not interfere with each other.
type subject struct{ ids map[string]string }

func newSubject(t *testing.T, w *world, name string) subject {
	t.Helper()
	ctx := t.Context()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	j, err := w.Job.Create(ctx, w.Foreman, job.Job{Name: name})
	must(err)
	r, err := w.Desk.Create(ctx, w.Foreman, room.Draft{Job: j.ID, Name: "Utility", Height: 2400,
		Outline:  []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2400}, {0, 2400}},
		Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}})
	must(err)
	ceiling, face := r.Record.Surfaces[0].ID, r.Record.Datums[0].ID
	_, err = w.Desk.Do(ctx, w.Foreman, r.Record.ID, deed.Plan{Surface: ceiling, Datums: []id.Datum{face},
		Layers: []firm.Layer{{Name: "board", Thickness: 25, Stage: words.Boarding}}})
	must(err)
	timber := id.New[id.Timber]()
	_, err = w.Desk.Do(ctx, w.Foreman, r.Record.ID,
		deed.AddTimbers{Timbers: []room.Timber{{ID: timber, Surface: ceiling, Name: "J1",
			A: roomsheet.Point{450, 0}, B: roomsheet.Point{450, 2400}, Width: 47}}})
	must(err)
	way := id.New[id.Way]()
	_, err = w.Desk.Do(ctx, w.Foreman, r.Record.ID, deed.AddWay{Way: room.Way{ID: way, Surface: ceiling, Name: "to D1",
		Kind: room.HoleWay,
		A:    roomsheet.Point{0, 600}, B: roomsheet.Point{900, 600}, Size: 20}})
	must(err)
	r, err = w.Desk.Do(ctx, w.Foreman, r.Record.ID,
		deed.Schedule{Surface: ceiling, Positions: []room.PositionDraft{{Name: "D1", Kind: "downlight", Cutout: 76,
			Planned: &roomsheet.Point{900, 600}}}})
	must(err)
	position := r.Record.Positions[0].ID
	v, err := w.Desk.Verdict(ctx, w.Foreman, r.Record.ID,
		deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: position, From: face,
			State: "bare", Value: 600}})
	must(err)
	_, err = w.Desk.Verdict(ctx, w.Foreman, r.Record.ID,
		deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: position,
			From: r.Record.Datums[3].ID, State: "bare", Value: 900}})
	must(err)
	of := id.New[id.Photo]()
	_, err = w.Photo.Take(ctx, w.Foreman, r.Record.ID, photo.Draft{TakePhoto: deed.TakePhoto{ID: of, Surface: ceiling},
		Picture: developed(t, 40, 30)})
	must(err)
	link, err := w.Job.ClientLink(ctx, w.Foreman, j.ID)
	must(err)
	member, err := w.Firm.TakeOn(ctx, w.Owner, id.Member{}, firm.Particulars{Name: "Wanda of " + name,
		Role: firm.Trade, Trade: words.Tiler})
	must(err)
	crew, err := w.Programme.SaveCrew(ctx, w.Foreman, programme.Crew{Trade: words.Tiler, Name: "Crew of " + name,
		People: 1})
	must(err)
	today := words.UTC.Day(w.Clock.Now())
	away, err := w.Programme.SayAway(ctx, w.Foreman, programme.Away{Crew: crew.ID, From: today, To: today})
	must(err)
	promise, err := w.Programme.Give(ctx, w.Foreman, programme.Promise{Job: j.ID, To: words.Client, Stage: words.Boarding,
		On: today.AddDate(0, 0, 30)})
	must(err)
	owed, err := w.Programme.SaveOwed(ctx, w.Foreman, programme.Owed{Room: r.Record.ID, For: words.SecondFix,
		What: "the tap",
		Lead: 14, By: words.Foreman})
	must(err)
	return subject{map[string]string{"member": member.ID.String(), "job": j.ID.String(), "room": r.Record.ID.String(),
		"surface": ceiling.String(), "datum": face.String(),
		"timber": timber.String(), "way": way.String(), "position": position.String(), "reading": v.Measurement.ID.String(),
		"opening": id.New[id.Opening]().String(), "act": id.New[id.Act]().String(),
		"snag": id.New[id.Snag]().String(), "stage": "first-fix", "photo": of.String(), "size": "thumb", "link": link,
		"token": "used-up", "provider": "none",
		"passkey": id.New[id.Passkey]().String(), "invitation": id.New[id.Invitation]().String(),
		"crew": crew.ID.String(), "away": away.ID.String(), "promise": promise.ID.String(), "owed": owed.ID.String(),
		"session": id.New[id.Session]().String(), "key": id.New[id.Key]().String()}}
}

var parameter = regexp.MustCompile(`:(\w+)`)

// path returns a route's address for the subject.
func (s subject) path(t *testing.T, route string) string {
	return parameter.ReplaceAllStringFunc(route, func(p string) string {
		if s.ids[p[1:]] == "" {
			t.Fatalf("%s: no test record for %s", route, p)
		}
		return s.ids[p[1:]]
	})
}

// column is one person of the matrix.
type column struct {
	name string
	who  firm.Person
	visitor
	subject
}

func columns(t *testing.T, w *world) []column {
	t.Helper()
	none, err := w.Job.Create(t.Context(), w.Foreman, job.Job{Name: "Another job"})
	if err != nil {
		t.Fatal(err)
	}
	client := w.AddTo(t, "Cleo Venn", firm.Client, "", none.ID)
	plumber := w.AddTo(t, "Ned Varley", firm.Trade, words.Plumber, none.ID)
	other := w.Found(t, "Elsewhere & Sons")
	var out []column
	for _, c := range []struct {
		name string
		who  firm.Person
	}{{"nobody", firm.Person{}}, {"client", client}, {"other firm", other}, {"other job", plumber},
		{"electrician", w.Electrician}, {"dry liner", w.DryLiner},
		{"foreman", w.Foreman}, {"owner", w.Owner}} {
		out = append(out, column{c.name, c.who, w.as(t, c.who), newSubject(t, w, "Job of "+c.name)})
	}
	return out
}

// open lists the routes that need no sign-in.
var open = []string{"GET /healthz", "GET /readyz", "GET /robots.txt", "GET /.well-known/*", "GET /static/*",
	"GET /worker.js", "GET /manifest.webmanifest",
	"GET /sign-in", "POST /sign-in", "POST /sign-out", "GET /progress/:link",
	"GET /comes/:link", "POST /comes/:link/coming", "POST /comes/:link/away", "POST /comes/:link/back",
	"GET /calendar/:link/visits.ics",
	"GET /in/:token", "POST /in/:token", "POST /sign-in/with/:provider", "GET /sign-in/back/:provider",
	"POST /sign-in/out/:provider", "POST /sign-in/firm",
	"GET /invited/:token", "POST /invited/:token", "POST /sign-in/passkey", "POST /sign-in/passkey/begin"}

// everybodys lists the routes that a signed-in client has, too: those about
// oneself.
var everybodys = []string{"GET /", "GET /sessions", "GET /sessions/data", "POST /sessions/others",
	"POST /sessions/device", "GET /sign-in/again"}

// TestMatrix requests every route as every person and compares with the table
// on file. A new route fails it until its line is there. Run with -update after
// an intended change, and read the difference.
func TestMatrix(t *testing.T) {
	w := newWorld(t)
	all := columns(t, w)
	lines := []string{fmt.Sprintf("%-52s", "")}
	for _, c := range all {
		lines[0] += fmt.Sprintf(" %-11s", c.name)
	}
	for _, route := range routes(w) {
		line := fmt.Sprintf("%-52s", route)
		for _, c := range all {
			answer := c.asks(t, route)
			line += fmt.Sprintf(" %-11s", answer)
			isOpen := slices.Contains(open, route)
			if c.name == "nobody" && !isOpen && answer != "sign-in" && answer != "401" {
				t.Errorf("%s answers %s to nobody", route, answer)
			}
			if c.name == "other firm" && !isOpen && parameter.MatchString(route) && answer != "404" {
				t.Errorf("%s answers %s to somebody of another firm", route, answer)
			}
			if c.name == "other job" && !isOpen && parameter.MatchString(route) && answer != "404" && answer != "403" {
				t.Errorf("%s answers %s to a trade who is named on another job", route, answer)
			}
			if c.name == "client" && !isOpen && answer != "403" && answer != "404" && !slices.Contains(everybodys, route) {
				t.Errorf("%s answers %s to a client", route, answer)
			}
		}
		lines = append(lines, line)
	}
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	compare(t, strings.Join(lines, "\n")+"\n")
}

// routes returns all routes except those of the API, which has a table of its
// own. Pages come before forms, so that forms do not change them.
func routes(w *world) []string {
	var out []string
	for _, r := range server.Routes(w.Handler) {
		if r.Method == http.MethodGet || r.Method == http.MethodPost || r.Method == http.MethodPut ||
			r.Method == http.MethodDelete || r.Method == http.MethodPatch {
			if !strings.HasPrefix(r.Path, server.APIPrefix) {
				out = append(out, r.Method+" "+r.Path)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// asks returns the answer's status to whoever has just signed in, or where it leads for those
// who have to sign in first. Forms are sent empty, so most of them answer what has to be
// filled in.
func (c column) asks(t *testing.T, route string) string {
	t.Helper()
	method, pattern, _ := strings.Cut(route, " ")
	c.visitor = c.w.as(t, c.who)
	form := fields()
	if method == http.MethodGet {
		form = nil
	}
	path := strings.TrimSuffix(c.path(t, pattern), "*")
	r := c.do(method, path, form)
	body := read(t, r)
	policy := web.ContentSecurityPolicy
	if strings.HasPrefix(r.Header.Get("Content-Type"), "image/jpeg") {
		policy = web.PictureSecurityPolicy
	}
	if got := r.Header.Get("Content-Security-Policy"); got != policy {
		t.Errorf("%s for %s: policy %q", route, c.name, got)
	}
	page := strings.HasPrefix(r.Header.Get("Content-Type"), "text/html")
	if page && (strings.Count(body, "<script") != strings.Count(body, `<script type="module" src="/static/`) ||
		strings.Contains(body, ` style="`) || strings.Contains(body, "javascript:")) {
		t.Errorf("%s for %s has what the policy forbids", route, c.name)
	}
	if r.StatusCode >= 500 {
		t.Errorf("%s for %s answers %d: %s", route, c.name, r.StatusCode, textOf(body))
	}
	if r.StatusCode == http.StatusSeeOther && r.Header.Get("Location") == web.SignInPath && !slices.Contains(open, route) {
		return "sign-in"
	}
	return fmt.Sprint(r.StatusCode)
}

func compare(t *testing.T, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(matrixFile, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(matrixFile)
	if err != nil {
		t.Fatalf("%v (run go test ./server -run Matrix -update)", err)
	}
	g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for _, line := range g {
		if !slices.Contains(w, line) {
			t.Errorf("not in %s: %s", matrixFile, line)
		}
	}
	for _, line := range w {
		if !slices.Contains(g, line) {
			t.Errorf("only in %s: %s", matrixFile, line)
		}
	}
}
