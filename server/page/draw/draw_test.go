package draw

import (
	"bytes"
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

// The room's page has every surface with its positions, and only whoever runs
// the jobs is led to change them.
func TestRoomAndScheduleShowWhatIsThere(t *testing.T) {
	now := time.Date(2026, 3, 9, 12, 0, 0, 0, time.UTC)
	j, err := standing.Of(roomtest.Record(t, roomtest.Sheet(t, "../../..", "kitchen")), now)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []firm.Person{
		{ID: id.New[id.Member](), Name: "Bram Okafor", Role: firm.Foreman},
		{ID: id.New[id.Member](), Name: "Ola Brandt", Role: firm.Trade, Trade: words.Electrician}} {
		v := kit.Viewer{By: p, People: kit.People{p.ID: p}, Date: now}
		room, schedule := Room(v, j, nil), look(v, j, "Schedule").schedule(web.Typed{})
		n := 0
		for _, s := range room.Surfaces {
			n += len(s.Positions)
		}
		if len(room.Surfaces) != len(j.Record.Surfaces) || n != len(j.Record.Positions) || len(schedule.Rows) != n {
			t.Errorf("%d surfaces, %d positions, %d on the schedule", len(room.Surfaces), n, len(schedule.Rows))
		}
		if runs := p.Role == firm.Foreman; room.MayEdit != runs || schedule.MayEdit != runs {
			t.Errorf("%s may edit: %v, %v", p.Role, room.MayEdit, schedule.MayEdit)
		}
		var b bytes.Buffer
		if err := web.Render(&b, web.Room, room); err != nil {
			t.Fatal(err)
		}
		for _, q := range j.Record.Positions {
			if !strings.Contains(b.String(), q.Name) {
				t.Errorf("%s is not on the page", q.Name)
			}
		}
	}
}
