package page

import (
	"net/http"
	"strconv"
	"strings"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// diaryPage is how many entries one page of a diary shows.
const diaryPage = 100

// Diary is who did what when on a job, the newest first.
func (p *Pages) Diary(c echo.Context) error {
	j, err := p.jobOf(c)
	if err != nil {
		return err
	}
	by, ctx := who(c), c.Request().Context()
	before, err := strconv.ParseInt(c.QueryParam("before"), 10, 64)
	if err != nil || before < 1 {
		before = 1 << 62
	}
	entries, err := p.entries(c, j.ID, before)
	if err != nil {
		return err
	}
	all, err := p.people(ctx, by)
	if err != nil {
		return err
	}
	rooms, err := p.Room.Rooms(ctx, by, j.ID)
	if err != nil {
		return err
	}
	called := map[id.Room]string{}
	for _, r := range rooms {
		called[r.ID] = r.Name
	}
	v := web.DiaryView{Sheet: p.Sheet(c, "Diary")}
	v.Job, v.Seq, v.Closed = j.Name, j.Seq, j.ClosedAt
	v.Next = web.Next{Sentence: "Whatever was done on this job is here, and nothing is ever taken out."}
	for i := len(entries) - 1; i >= 0; i-- {
		v.Days = intoDay(v.Days, entryOf(entries[i], all, called))
	}
	if len(entries) > 0 && entries[0].Seq > 1 {
		v.Older = v.At.Diary() + "?before=" + strconv.FormatInt(entries[0].Seq, 10)
	}
	return Draw(c, http.StatusOK, web.Diary, v)
}

// entries are the last of a job's diary before a number, in order.
func (p *Pages) entries(c echo.Context, job id.Job, before int64) ([]diary.Entry, error) {
	var out []diary.Entry
	after := int64(0)
	for {
		more, err := p.Services.Diary.Read(c.Request().Context(), who(c), job, after)
		if err != nil {
			return nil, err
		}
		for _, e := range more {
			if e.Seq < before {
				out = append(out, e)
			}
		}
		out = out[max(0, len(out)-diaryPage):]
		if len(more) < diary.Page || more[len(more)-1].Seq >= before-1 {
			return out, nil
		}
		after = more[len(more)-1].Seq
	}
}

func entryOf(e diary.Entry, all people, rooms map[id.Room]string) web.DiaryEntry {
	out := web.DiaryEntry{Number: int(e.Seq), At: e.At, Who: e.Who, Room: rooms[e.Room], What: e.Says}
	if one, ok := all[e.Member]; ok {
		out.Trade = person(one).Trade
	}
	return out
}

// intoDay adds an entry to the last day, or begins another.
func intoDay(days []web.DiaryDay, e web.DiaryEntry) []web.DiaryDay {
	day := words.Date(e.At)
	if n := len(days); n == 0 || words.Date(days[n-1].Date) != day {
		days = append(days, web.DiaryDay{Date: e.At})
	}
	last := &days[len(days)-1]
	last.Entries = append(last.Entries, e)
	return days
}

// lastChange is the last entry of the diary about a position; nil where there
// is none.
func (p *Pages) lastChange(c echo.Context, s *scene, q *room.Position) (*diary.Entry, error) {
	all, err := p.entries(c, s.j.Record.Job, 1<<62)
	if err != nil {
		return nil, err
	}
	for i := len(all) - 1; i >= 0; i-- {
		if strings.Contains(string(all[i].Detail), q.ID.String()) {
			return &all[i], nil
		}
	}
	return nil, nil
}
