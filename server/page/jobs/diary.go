package jobs

import (
	"math"
	"net/http"
	"strconv"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// DiaryPage is how many entries one page of a diary shows.
const DiaryPage = 100

// Diary is who did what when on a job, the newest first.
func (p *Pages) Diary(c echo.Context) error {
	j, sheet, err := p.jobSheet(c, "Diary")
	if err != nil {
		return err
	}
	by, ctx := kit.Who(c), c.Request().Context()
	before, err := strconv.ParseInt(c.QueryParam("before"), 10, 64)
	if err != nil || before < 1 {
		before = math.MaxInt64
	}
	entries, err := p.Services.Diary.Before(ctx, by, j.ID, before, DiaryPage)
	if err != nil {
		return err
	}
	all, err := p.Everyone(ctx, by)
	if err != nil {
		return err
	}
	rooms, err := p.Desk.Rooms(ctx, by, j.ID)
	if err != nil {
		return err
	}
	v := web.DiaryView{Sheet: sheet, Does: map[id.Member]string{}, Rooms: map[id.Room]string{}}
	for of, one := range all {
		v.Does[of] = one.Does()
	}
	for _, r := range rooms {
		v.Rooms[r.ID] = r.Name
	}
	v.Next = web.Next{Sentence: "Whatever was done on this job is here, and nothing is ever taken out."}
	for i := len(entries) - 1; i >= 0; i-- {
		v.Days = intoDay(v.Days, entries[i], v.Zone)
	}
	if len(entries) > 0 && entries[0].Seq > 1 {
		v.Older = v.At.Diary() + "?before=" + strconv.FormatInt(entries[0].Seq, 10)
	}
	return kit.Draw(c, http.StatusOK, web.Diary, v)
}

// intoDay adds an entry to the last day in a zone, or begins another.
func intoDay(days []web.DiaryDay, e diary.Entry, in words.Zone) []web.DiaryDay {
	day := in.Day(e.At)
	if n := len(days); n == 0 || !days[n-1].Date.Equal(day) {
		days = append(days, web.DiaryDay{Date: day})
	}
	last := &days[len(days)-1]
	last.Entries = append(last.Entries, e)
	return days
}
