package api_test

import (
	"fmt"
	"net/http"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/api"
)

// m is JSON that a test writes down.
type m = map[string]any

// new7 is an id of one's own.
func new7() string { return id.New[id.Job]().String() }

// utility is a room with walls that get board and skim, ceiling drawn.
func (s *site) utility() (job string, r api.Record) {
	s.t.Helper()
	job = new7()
	s.ask(s.Foreman, http.MethodPost, "/jobs", m{"id": job, "name": "14 Orchard Row", "address": "Nether Appleby"}, 200,
		nil)
	wall := func(length float64) m { return m{"length": length, "turn": 90} }
	s.ask(s.Foreman, http.MethodPost, "/jobs/"+job+"/rooms", m{"id": new7(), "name": "Utility", "height": 2400,
		"walls":    []m{wall(3600), wall(2400), wall(3600), wall(2400)},
		"surfaces": []m{{"id": new7(), "kind": "ceiling"}}}, 200, &r)
	var walls []id.Datum
	for _, d := range r.Datums {
		walls = append(walls, d.ID)
	}
	s.ask(s.Foreman, http.MethodPut, at(r)+"/surfaces/"+r.Surfaces[0].ID.String()+"/build-up",
		m{"datums": walls, "layers": []m{
			{"name": "board", "thickness": 25, "sigma": 5, "stage": "boarding"}, {"name": "skim", "thickness": 3,
				"stage": "plaster"}}}, 200, &r)
	return job, r
}

func at(r api.Record) string { return "/rooms/" + r.ID.String() }

func datum(t *testing.T, r api.Record, name string) string {
	t.Helper()
	for _, d := range r.Datums {
		if d.Name == name {
			return d.ID.String()
		}
	}
	t.Fatalf("no datum %s", name)
	return ""
}

// record reads the room anew.
func (s *site) record(r api.Record) (now api.Record) {
	s.t.Helper()
	s.ask(s.Foreman, http.MethodGet, at(r)+"/record", nil, 200, &now)
	return now
}

func hard(g api.StageGate) map[string]int {
	out := map[string]int{}
	for _, o := range g.Obstacles {
		if o.Hard {
			out[o.Code]++
		}
	}
	return out
}

// pass offers and signs a stage, with a reason for every soft obstacle.
func (s *site) pass(r api.Record, stage words.Stage, by firm.Person) {
	s.t.Helper()
	s.ask(by, http.MethodPost, at(r)+"/stages/"+stage.Code()+"/offer", nil, 200, nil)
	s.sign(r, stage)
}

func (s *site) sign(r api.Record, stage words.Stage) {
	s.t.Helper()
	if s.record(r).Stages[stage].State == "in_hand" { // something was mended since it was offered
		s.ask(s.Foreman, http.MethodPost, at(r)+"/stages/"+stage.Code()+"/offer", nil, 200, nil)
	}
	accepted, now := []m{}, s.record(r)
	for _, o := range now.Stages[stage].Obstacles {
		if o.Hard {
			s.t.Errorf("%s: still hard: %s", stage, o.Wrong)
		}
		accepted = append(accepted, m{"code": o.Code, "kind": o.About.Kind, "id": o.About.ID, "wrong": o.Wrong,
			"reason": "looked at it"})
	}
	var after api.Standing
	s.ask(s.Foreman, http.MethodPost, at(r)+"/stages/"+stage.Code()+"/sign-off", m{"revision": now.Revision,
		"accepted": accepted}, 200, &after)
	if g := after.Stages[stage]; g.State != "signed_off" || g.Initials != "BO" {
		s.t.Errorf("%s after its sign-off: %+v", stage, g)
	}
}

// measured is a downlight on the schedule with four offsets that agree.
func (s *site) measured(r api.Record, name string, u, v float64) string {
	s.t.Helper()
	p := new7()
	s.ask(s.Foreman, http.MethodPost, at(r)+"/surfaces/"+r.Surfaces[0].ID.String()+"/positions",
		m{"positions": []m{{"id": p, "name": name, "kind": "downlight", "cutout": 76}}}, 200, nil)
	for from, value := range map[string]float64{"west wall": u, "south wall": v, "east wall": 3600 - u,
		"north wall": 2400 - v} {
		s.ask(s.Electrician, http.MethodPost, at(r)+"/measurements", m{"id": new7(), "kind": "offset", "of": p,
			"from":  datum(s.t, r, from),
			"state": "bare", "value": value}, 200, nil)
	}
	return p
}

// A whole room through the API, from the schedule to decoration: refused and
// mended on the way. Every request and every answer is held against the
// document by the site.
func TestARoomFromTheScheduleToDecoration(t *testing.T) {
	s := newSite(t)
	job, r := s.utility()
	d1 := s.measured(r, "D1", 900, 600)
	d2 := s.measured(r, "D2", 2700, 600)
	f1 := s.measured(r, "F1", 1800, 1200)
	s.firstFix(r, d1)
	s.boarding(r, []string{d1, d2, f1})
	s.plaster(r)
	lost := s.secondFix(r, d1, d2, f1)
	s.decoration(r, lost)
	s.lists(job, r)
}

func (s *site) firstFix(r api.Record, d1 string) {
	s.t.Helper()
	p := new7()
	s.ask(s.Foreman, http.MethodPost, at(r)+"/surfaces/"+r.Surfaces[0].ID.String()+"/positions",
		m{"positions": []m{{"id": p, "name": "S1", "kind": "sensor"}}}, 200, nil)
	s.ask(s.Electrician, http.MethodPost, at(r)+"/stages/first_fix/offer", nil, 200, nil)
	var refused api.Problem
	s.ask(s.Foreman, http.MethodPost, at(r)+"/stages/first_fix/sign-off",
		m{"revision": s.record(r).Revision, "accepted": []m{}},
		http.StatusUnprocessableEntity, &refused)
	if len(refused.Errors) == 0 || refused.Errors[0].Path != "position/"+p || refused.Errors[0].Mend == "" {
		s.t.Errorf("the refusal: %+v", refused)
	}
	var v api.Verdict
	s.ask(s.Electrician, http.MethodPost, at(r)+"/measurements", m{"id": new7(), "kind": "distance", "of": p,
		"to_position": d1, "value": 500}, 200, &v)
	if v.Position == nil || v.Position.Determinate || len(v.Needs) == 0 || v.Needs[0].Code != "no_record" {
		s.t.Errorf("the verdict on one distance: %+v", v)
	}
	w := s.ask(s.Foreman, http.MethodGet, at(r)+"/positions/"+p, nil, 200, nil)
	omit := s.request(s.Foreman, http.MethodPost, at(r)+"/positions/"+p+"/omit", m{"reason": "no sensor after all"})
	omit.Header.Set("If-Match", w.Header().Get("ETag"))
	s.read(s.do(omit), "omit", 200, nil)
	s.sign(r, words.FirstFix)
}

func (s *site) boarding(r api.Record, positions []string) {
	s.t.Helper()
	var ready struct{ Items []standing.ReadyRoom }
	s.ask(s.DryLiner, http.MethodPost, at(r)+"/stages/boarding/offer", nil, 200, nil)
	if h := hard(s.record(r).Stages[words.Boarding]); h["tail_not_seen"] != 3 || h["not_as_built"] != 4 {
		s.t.Errorf("boarding: %v", h)
	}
	for _, p := range positions {
		s.ask(s.Electrician, http.MethodPut, at(r)+"/positions/"+p+"/tail-seen", nil, 200, nil)
	}
	s.ask(s.Electrician, http.MethodDelete, at(r)+"/positions/"+positions[0]+"/tail-seen", nil, 200, nil)
	s.ask(s.Electrician, http.MethodPut, at(r)+"/positions/"+positions[0]+"/tail-seen", nil, 200, nil)
	s.ask(s.Foreman, http.MethodPost, at(r)+"/photos", m{"id": new7(), "surface": r.Surfaces[0].ID,
		"says": "on the foreman's phone"}, 200, nil)
	s.ask(s.DryLiner, http.MethodPost, at(r)+"/as-built", m{"put_on": []m{
		{"id": new7(), "surface": r.Surfaces[0].ID, "datum": datum(s.t, r, "south wall"), "through": "board", "thickness": 28,
			"by": "rule"},
		{"id": new7(), "surface": r.Surfaces[0].ID, "datum": datum(s.t, r, "north wall"), "through": "board", "thickness": 24,
			"by": "rule"},
		{"id": new7(), "surface": r.Surfaces[0].ID, "datum": datum(s.t, r, "west wall"), "through": "board", "span": 3546,
			"by":      "laser",
			"span_to": datum(s.t, r, "east wall"), "span_to_state": "board"}}}, 200, nil)
	s.sign(r, words.Boarding)
	s.ask(s.Plasterer, http.MethodGet, "/ready", nil, 200, &ready)
	if len(ready.Items) != 1 || ready.Items[0].Name != "Utility" {
		s.t.Errorf("ready for the plasterer: %+v", ready)
	}
}

func (s *site) plaster(r api.Record) {
	s.t.Helper()
	today := s.Clock.Now().Format(time.DateOnly)
	s.ask(s.Plasterer, http.MethodPut, at(r)+"/stages/plaster/finished", m{"on": "2031-01-01"}, 400, nil)
	s.ask(s.Plasterer, http.MethodPut, at(r)+"/stages/plaster/finished", m{"on": today}, 200, nil)
	var on []m
	for _, name := range []string{"south wall", "north wall", "west wall", "east wall"} {
		on = append(on, m{"id": new7(), "surface": r.Surfaces[0].ID, "datum": datum(s.t, r, name), "through": "skim",
			"from": "board", "thickness": 3,
			"by": "rule", "on": today})
	}
	s.ask(s.Plasterer, http.MethodPost, at(r)+"/as-built", m{"put_on": on}, 200, nil)
	measured := len(s.record(r).Measurements)
	s.ask(s.Plasterer, http.MethodPost, at(r)+"/as-built", m{"put_on": on}, 200, nil)
	if again := len(s.record(r).Measurements); again != measured {
		s.t.Errorf("the repeat made %d measurements", again-measured)
	}
	s.pass(r, words.Plaster, s.Plasterer)
}

func (s *site) secondFix(r api.Record, d1, d2, f1 string) (lost string) {
	s.t.Helper()
	hold := s.request(s.Foreman, http.MethodPost, at(r)+"/positions/"+f1+"/hold", m{"reason": "the fan is not chosen"})
	hold.Header.Set("If-Match", `"1"`)
	w := s.do(hold)
	s.read(w, "hold", 200, nil)
	var holes struct{ Items []api.ToOpen }
	s.ask(s.Electrician, http.MethodGet, at(r)+"/holes", nil, 200, &holes)
	if len(holes.Items) != 2 || !holes.Items[0].First || holes.Items[1].First {
		s.t.Fatalf("holes: %+v", holes)
	}
	s.Clock.Pass(24 * time.Hour)
	s.ask(s.Electrician, http.MethodPost, at(r)+"/openings", m{"id": new7(), "position": f1, "outcome": "found"},
		http.StatusConflict, nil)
	s.ask(s.Electrician, http.MethodPost, at(r)+"/openings", m{"id": new7(), "position": d1, "outcome": "found",
		"tail": []m{
			{"id": new7(), "from": datum(s.t, r, "south wall"), "value": 570}, {"id": new7(), "from": datum(s.t, r, "west wall"),
				"value": 871}}}, 200, nil)
	lost = new7()
	for range 2 { // as after a broken connection
		s.ask(s.Electrician, http.MethodPost, at(r)+"/openings", m{"id": lost, "position": d2, "outcome": "not_found",
			"says": "stuffed with wool"}, 200, nil)
	}
	if n := len(s.record(r).Openings); n != 2 {
		s.t.Errorf("%d holes are written down", n)
	}
	s.ask(s.Electrician, http.MethodPut, at(r)+"/openings/"+lost+"/outcome", m{"outcome": "on_timber"}, 200, nil)
	s.ask(s.Electrician, http.MethodPost, at(r)+"/stages/second_fix/offer", nil, 200, nil)
	if h := hard(s.record(r).Stages[words.SecondFix]); h["held"] != 1 || h["lost_hole"] != 1 {
		s.t.Errorf("second fix: %v", h)
	}
	s.ask(s.Electrician, http.MethodPut, at(r)+"/openings/"+lost+"/patch", nil, 200, nil)
	release := s.request(s.Foreman, http.MethodPost, at(r)+"/positions/"+f1+"/release", nil)
	release.Header.Set("If-Match", w.Header().Get("ETag"))
	w = s.do(release)
	s.read(w, "release", 200, nil)
	s.ask(s.Electrician, http.MethodPost, at(r)+"/openings", m{"id": new7(), "position": f1, "outcome": "hooked_out"}, 200,
		nil)
	s.sign(r, words.SecondFix)
	return lost
}

func (s *site) decoration(r api.Record, lost string) {
	s.t.Helper()
	snag := new7()
	s.ask(s.Foreman, http.MethodPost, at(r)+"/snags", m{"id": snag, "says": "scratch on the sill", "trade": "decorator"},
		200, nil)
	s.ask(s.Decorator, http.MethodPut, at(r)+"/openings/"+lost+"/patch/filled", m{}, 200, nil)
	s.ask(s.Decorator, http.MethodDelete, at(r)+"/openings/"+lost+"/patch/filled", nil, 200, nil)
	s.ask(s.Decorator, http.MethodPut, at(r)+"/openings/"+lost+"/patch/dry", m{"at": s.Clock.Now().Add(time.Hour)}, 409,
		nil)
	s.ask(s.Decorator, http.MethodPut, at(r)+"/openings/"+lost+"/patch/filled", m{}, 200, nil)
	s.ask(s.Decorator, http.MethodPut, at(r)+"/openings/"+lost+"/patch/dry", m{"at": s.Clock.Now().Add(time.Hour)}, 200,
		nil)
	s.ask(s.Decorator, http.MethodPost, at(r)+"/stages/decoration/offer", nil, 200, nil)
	if h := hard(s.record(r).Stages[words.Decoration]); h["patch_open"] != 1 || h["snag_open"] != 1 {
		s.t.Errorf("decoration: %v", h)
	}
	s.Clock.Pass(2 * time.Hour)
	s.ask(s.Decorator, http.MethodPut, at(r)+"/snags/"+snag+"/closed", nil, 200, nil)
	if h := hard(s.record(r).Stages[words.Decoration]); h["patch_open"] != 0 || h["snag_open"] != 1 {
		s.t.Errorf("decoration before the foreman looked at the snag: %v", h)
	}
	s.ask(s.Foreman, http.MethodPut, at(r)+"/snags/"+snag+"/closed", nil, 200, nil)
	s.sign(r, words.Decoration)
}

// lists are read once the room is done.
func (s *site) lists(job string, r api.Record) {
	s.t.Helper()
	var signed struct{ Items []room.SignOff }
	s.ask(s.Foreman, http.MethodGet, at(r)+"/sign-offs", nil, 200, &signed)
	if len(signed.Items) != 5 || signed.Items[0].SHA256 == (room.Sum{}) {
		s.t.Errorf("%d sign-offs", len(signed.Items))
	}
	var diary struct{ Items []api.Entry }
	s.ask(s.Foreman, http.MethodGet, "/jobs/"+job+"/diary?after=1", nil, 200, &diary)
	if n := len(diary.Items); n < 40 || diary.Items[0].Seq != 2 || diary.Items[n-1].Act != "sign_off" ||
		diary.Items[1].Prev != diary.Items[0].Hash {
		s.t.Errorf("the diary has %d entries, from %+v", n, diary.Items[0])
	}
	var sheet api.JobSheet
	s.ask(s.Electrician, http.MethodGet, "/jobs/"+job+"/rooms", nil, 200, &sheet)
	if len(sheet.Rooms) != 1 || sheet.Rooms[0].Cells[4].State != "signed_off" {
		s.t.Errorf("the job's sheet: %+v", sheet)
	}
	for _, path := range []string{"/me", "/members", "/build-ups", "/jobs", "/jobs/" + job, "/overview", "/tasks",
		"/ready", at(r), at(r) + "/sheet", at(r) + "/setout"} {
		s.ask(s.Electrician, http.MethodGet, path, nil, 200, nil)
	}
	var link api.ClientLink
	s.ask(s.Foreman, http.MethodPost, "/jobs/"+job+"/client-link", nil, 200, &link)
	var progress api.Progress
	s.ask(nobody, http.MethodGet, "/client/"+link.Link, nil, 200, &progress)
	if len(progress.Rooms) != 1 || !progress.Rooms[0].Done || progress.Rooms[0].Stages[4].State != "signed_off" {
		s.t.Errorf("the client sees %+v", progress)
	}
	s.ask(s.Foreman, http.MethodDelete, "/jobs/"+job+"/client-link", nil, 204, nil)
	s.ask(nobody, http.MethodGet, "/client/"+link.Link, nil, 404, nil)
	s.ask(s.Foreman, http.MethodPost, at(r)+"/stages/second_fix/reopen", m{"reason": "one more look"}, 200, nil)
	if g := s.record(r).Stages; g[words.SecondFix].State != "in_hand" || g[words.Decoration].State != "waiting" {
		s.t.Errorf("after reopening: %+v", fmt.Sprint(g[3].State, g[4].State))
	}
}
