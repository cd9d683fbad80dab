package server_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
	"lathmark/web"

	"github.com/google/uuid"
)

// sentAct is an act as a phone sends it.
type sentAct struct {
	ID   string     `json:"id"`
	Made time.Time  `json:"made"`
	Kind string     `json:"kind"`
	Room string     `json:"room"`
	At   string     `json:"at"`
	Copy int64      `json:"copy"`
	Form url.Values `json:"form"`
}

// answer is what a phone is told.
type answer struct {
	ID, Answer, Says, Mine, Theirs, Go string
	Fields                             []struct{ Path, Wrong, Mend string }
}

// shell is a world with a room at first fix.
type shell struct {
	*world
	t    *testing.T
	r    *standing.Standing
	room web.Place
}

func newShell(t *testing.T) *shell {
	t.Helper()
	w := newWorld(t)
	r := w.Utility(t, "D1", "D2")
	return &shell{w, t, r, web.Place{Room: r.Record.ID.String()}}
}

// act returns a form that was filled in now, as the room is.
func (s *shell) act(kind, at string, pairs ...string) sentAct {
	form := fields(pairs...)
	form.Del("token")
	return sentAct{uuid.Must(uuid.NewV7()).String(), s.Clock.Now(), kind, s.room.Room, at,
		s.read(s.t, s.room.Room).Seq, form}
}

// reading returns an offset of a position from a wall.
func (s *shell) reading(position int, wall, mm string) sentAct {
	return s.act("measure", s.room.Measure(), "kind", "offset", "position", s.r.Record.Positions[position].ID.String(),
		"datum", dbtest.Datum(s.t, s.r, wall).String()+"|bare", "value", mm, "by", "tape")
}

// script sends a body as a script does.
func (v visitor) script(path, kind string, body []byte) reply {
	v.t.Helper()
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(string(body)))
	r.Header.Set("Content-Type", kind)
	r.Header.Set("Accept", "application/json")
	if v.session != "" {
		r.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
	}
	w := httptest.NewRecorder()
	v.w.ServeHTTP(w, r)
	return reply{w.Code, w.Header(), w.Body.String()}
}

// send lets somebody's phone send a member's acts.
func (s *shell) send(by, member firm.Person, acts ...any) (reply, []answer) {
	s.t.Helper()
	return s.sendAs(s.as(s.t, by), member, acts...)
}

func (s *shell) sendAs(by visitor, member firm.Person, acts ...any) (reply, []answer) {
	s.t.Helper()
	body, err := json.Marshal(map[string]any{"member": member.ID, "acts": acts})
	if err != nil {
		s.t.Fatal(err)
	}
	r := by.script(web.ActsPath, "application/json", body)
	var got struct{ Answers []answer }
	if err := json.Unmarshal([]byte(r.body), &got); err != nil || !strings.Contains(r.Header.Get("Content-Type"), "json") {
		s.t.Fatalf("%d %s: %s", r.StatusCode, r.Header.Get("Content-Type"), r.body)
	}
	return r, got.Answers
}

// sent sends acts and checks that each is answered as wanted.
func (s *shell) sent(by firm.Person, want string, acts ...any) []answer {
	s.t.Helper()
	r, got := s.send(by, by, acts...)
	var words []string
	for _, a := range got {
		words = append(words, a.Answer)
	}
	if r.StatusCode != http.StatusOK || strings.Join(words, " ") != want {
		s.t.Fatalf("%d, %v, want %s: %s", r.StatusCode, words, want, r.body)
	}
	return got
}

// A batch with acts that can be kept, that cannot, and that cannot even be
// read: each is answered, in order, and none stops those after it.
func TestABatchIsAnsweredOneByOne(t *testing.T) {
	s := newShell(t)
	one, two := s.reading(0, "south wall", "600"), s.reading(0, "west wall", "500")
	typo := s.reading(0, "west wall", "1,2x0")
	future := s.act("open-hole", s.room.Outcome(s.r.Record.Positions[0].ID.String()), "outcome", "found")
	elsewhere := s.reading(1, "south wall", "600")
	elsewhere.At = web.Place{Room: id.New[id.Room]().String()}.Measure()
	unknown := s.act("paint", s.room.Snags())
	noID := s.reading(1, "south wall", "600")
	noID.ID = "4d0f2a34-0000-4000-8000-000000000000" // of version 4
	list := []any{one, typo, "what", map[string]any{"id": 7}, two, future, elsewhere, unknown, noID,
		s.act("snag", s.room.Snags(), "what", "scratch", "where", "sill")}
	want := "kept refused refused refused kept refused refused refused refused kept"
	got := s.sent(s.Electrician, want, list...)
	again := s.sent(s.Electrician, want, list...)
	for i := range got {
		if got[i].Says == "" || fmt.Sprint(got[i]) != fmt.Sprint(again[i]) {
			t.Errorf("act %d: %+v, then %+v", i, got[i], again[i])
		}
	}
	if got[0].ID != one.ID || got[1].ID != typo.ID || len(got[1].Fields) != 1 || got[1].Fields[0].Path != "value" {
		t.Errorf("%+v", got[:2])
	}
	if r := s.read(t, s.room.Room).Record; len(r.Measurements) != 2 || r.Measurements[0].Value != 600 ||
		r.Measurements[1].Value != 500 || len(r.Snags) != 1 || r.Snags[0].Says != "scratch, sill" {
		t.Errorf("%+v %+v", r.Measurements, r.Snags)
	}
	if page := s.as(t, s.Electrician).get(got[0].Go); !strings.Contains(textOf(page), "600") {
		t.Errorf("%s does not show the reading", got[0].Go)
	}
}

// Who is signed in on the phone decides, not what the phone says; and what
// belongs to another firm is answered like what never existed.
func TestWhoseActs(t *testing.T) {
	s := newShell(t)
	mine := s.reading(0, "south wall", "600")
	for what, c := range map[string]struct {
		by, member firm.Person
		status     int
	}{
		"nobody": {firm.Person{}, s.Electrician, 401}, "somebody else": {s.Plumber, s.Electrician, 403},
		"the client": {s.Add(t, "Cora Lind", firm.Client, ""), s.Electrician, 403},
	} {
		if r, _ := s.send(c.by, c.member, mine); r.StatusCode != c.status {
			t.Errorf("%s: %d, want %d: %s", what, r.StatusCode, c.status, r.body)
		}
	}
	other := s.Found(t, "Marl & Sons")
	foreign := s.sent(other, "refused", mine)
	nowhere := s.reading(0, "south wall", "600")
	nowhere.Room = id.New[id.Room]().String()
	nowhere.At = web.Place{Room: nowhere.Room}.Measure()
	if never := s.sent(other, "refused", nowhere); never[0].Says != foreign[0].Says {
		t.Errorf("another firm's room is %q, none %q", foreign[0].Says, never[0].Says)
	}
	if n := len(s.read(t, s.room.Room).Record.Measurements); n != 0 {
		t.Errorf("%d readings came in", n)
	}
	if r, _ := s.send(s.Electrician, s.Electrician, make([]any, 51)...); r.StatusCode != http.StatusBadRequest {
		t.Errorf("51 acts: %d", r.StatusCode)
	}
	if r := s.as(t, s.Electrician).script(web.ActsPath, "application/json",
		[]byte(strings.Repeat(" ", 3<<20))); r.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("3 MiB: %d", r.StatusCode)
	}
}

// Two records of one thing are on the room's page for those who may choose;
// they choose there, or on the phone.
func TestChoosing(t *testing.T) {
	s := newShell(t)
	for _, script := range []bool{false, true} {
		position := map[bool]int{false: 0, true: 1}[script]
		one, two := s.reading(position, "south wall", "600"), s.reading(position, "south wall", "612")
		s.sent(s.Electrician, "kept", one)
		got := s.sent(s.Plumber, "both", two)[0]
		if !strings.HasPrefix(got.Go, s.room.RoomPage()) || !strings.Contains(got.Mine, "612") ||
			!strings.Contains(got.Theirs, "600") {
			t.Errorf("%+v", got)
		}
		for _, p := range []firm.Person{s.Plumber, s.Foreman} {
			has(t, s.as(t, p).get(s.room.RoomPage()), web.ChoosePath(two.ID), "Which one counts?", got.Mine, got.Theirs)
		}
		if page := s.as(t, s.DryLiner).get(s.room.RoomPage()); strings.Contains(page, web.ChoosePath(two.ID)) {
			t.Error("a stranger is asked to choose")
		}
		s.as(t, s.DryLiner).refused(http.StatusForbidden, web.ChoosePath(two.ID), "choice", "mine")
		s.as(t, s.Plumber).refused(http.StatusBadRequest, web.ChoosePath(two.ID), "choice", "neither")
		if script {
			if r := s.as(t, s.Plumber).script(web.ChoosePath(two.ID), "application/x-www-form-urlencoded",
				[]byte("choice=theirs")); r.StatusCode != http.StatusOK || !strings.Contains(r.body, `"kept"`) {
				t.Errorf("%d %s", r.StatusCode, r.body)
			}
		} else if to := s.as(t, s.Foreman).post(web.ChoosePath(two.ID), "choice", "theirs"); !strings.HasPrefix(to,
			s.room.RoomPage()) {
			t.Errorf("leads to %s", to)
		}
		s.as(t, s.Foreman).refused(http.StatusConflict, web.ChoosePath(two.ID), "choice", "mine")
		if page := s.as(t, s.Foreman).get(s.room.RoomPage()); strings.Contains(page, web.ChoosePath(two.ID)) {
			t.Error("it is still open")
		}
	}
	if r := s.as(t, firm.Person{}).script(web.ChoosePath(id.New[id.Act]().String()), "application/x-www-form-urlencoded",
		[]byte("choice=mine")); r.StatusCode != http.StatusUnauthorized {
		t.Errorf("nobody chose: %d", r.StatusCode)
	}
	standing := ""
	for _, m := range s.read(t, s.room.Room).Record.Measurements {
		if m.Stands() {
			standing += fmt.Sprintf("%g ", m.Value)
		}
	}
	if standing != "600 600 " {
		t.Errorf("%q stands", standing)
	}
}

// A layer that was planned again since the copy has another id: what was typed
// for the old one is refused by name and not lost.
func TestABuildUpPlannedAnew(t *testing.T) {
	s := newShell(t)
	s.r = s.SignFirstFix(t, s.r)
	old := ""
	for _, l := range s.r.Record.Layers {
		if l.Name == "board" && l.Datum == dbtest.Datum(t, s.r, "south wall") {
			old = "t." + l.ID.String()
		}
	}
	put := s.act("put-on", s.room.AsBuilt(), old, "24", "stage", "boarding")
	s.sent(s.DryLiner, "kept", put)
	lost := s.act("put-on", s.room.AsBuilt(), "t."+id.New[id.Layer]().String(), "24")
	got := s.sent(s.DryLiner, "refused", lost)[0]
	if len(got.Fields) != 1 || !strings.Contains(got.Fields[0].Mend, "24") {
		t.Errorf("%+v", got)
	}
	s.sent(s.Foreman, "kept", s.act("offer", s.room.Deed(deed.KindOffer, "boarding")))
	if got := s.read(t, s.room.Room).Record.Gates[words.Boarding].State; got != words.Offered {
		t.Errorf("boarding is %s", got)
	}
}
