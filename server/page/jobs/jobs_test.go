package jobs

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room/roomtest"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// across is two rooms of one job, and another job without any.
func across(t *testing.T) Across {
	t.Helper()
	one, other := job.Job{ID: id.New[id.Job](), Name: "14 Orchard Row"}, job.Job{ID: id.New[id.Job](), Name: "Mill Loft"}
	a := Across{Seqs: map[string]int64{one.ID.String(): 7}, Jobs: []job.Job{other, one}}
	for _, name := range []string{"kitchen", "wet-room"} {
		r := roomtest.Record(t, roomtest.Sheet(t, "../../..", name))
		r.Job, r.JobName = one.ID, one.Name
		j, err := standing.Of(r, time.Date(2026, 3, 9, 12, 0, 0, 0, time.UTC))
		if err != nil {
			t.Fatal(err)
		}
		a.Rooms = append(a.Rooms, j)
	}
	return a
}

func viewer(p firm.Person) kit.Viewer {
	p.ID = id.New[id.Member]()
	return kit.Viewer{By: p, People: kit.People{p.ID: p}, Date: time.Date(2026, 3, 9, 12, 0, 0, 0, time.UTC)}
}

func html[V any](t *testing.T, p web.Page[V], view V) string {
	t.Helper()
	var b bytes.Buffer
	if err := web.Render(&b, p, view); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestDashboardHasEveryJobWithItsRooms(t *testing.T) {
	a := across(t)
	view := Dashboard(viewer(firm.Person{Name: "Bram Okafor", Role: firm.Foreman}), a)
	if len(view.Jobs) != 2 || len(view.Jobs[0].Rooms) != 0 || len(view.Jobs[1].Rooms) != 2 {
		t.Fatalf("the jobs are %+v", view.Jobs)
	}
	page := html(t, web.Dashboard, view)
	for _, j := range a.Rooms {
		if !strings.Contains(page, kit.PlaceOfRoom(j).RoomPage()) {
			t.Errorf("nothing leads to %s", j.Record.Name)
		}
	}
}

// The lists of somebody of a trade agree: a room with tasks is one to visit, and
// no other is; the foreman visits every room that has a stage open.
func TestVisitsAreTheRoomsWithTasks(t *testing.T) {
	a := across(t)
	for _, trade := range words.Trades {
		p := firm.Person{Name: "Ola Brandt", Role: firm.Trade, Trade: trade}
		want := 0
		if trade == words.Foreman {
			p.Role, want = firm.Foreman, len(a.Rooms)
		}
		v := viewer(p)
		tasks, visits := Tasks(v, a), Visits(v, a)
		n := 0
		for _, j := range tasks.Jobs {
			n += len(j.Rooms)
		}
		if len(visits.Rooms) != max(n, want) {
			t.Errorf("%s: %d rooms to visit, %d with tasks", trade, len(visits.Rooms), n)
		}
		if n == 0 && !strings.Contains(html(t, web.Tasks, tasks), "Nothing for you today.") {
			t.Errorf("%s is not told that there is nothing", trade)
		}
		html(t, web.Ready, Ready(v, a))
	}
}
