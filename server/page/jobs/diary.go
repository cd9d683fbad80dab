package jobs

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// DiaryPage is how many entries one page of a diary has, and diaryShown how many of
// them before the days are folded.
const (
	DiaryPage  = 50
	diaryShown = 12
)

// diaryKinds are the kinds of entry that one may ask for, each with its acts.
var diaryKinds = []struct {
	slug, label string
	acts        []string
}{
	{"stages", "Stages offered, signed off, opened again", []string{"offer", "sign_off", "reopen", "withdraw"}},
	{"readings", "Readings", []string{"measure", "correct", "strike"}},
	{"build-up", "Tails, boards and plaster", []string{"see_tail", "unsee_tail", "put_on", "finish"}},
	{"holes", "Holes and patches", []string{"open", "correct_outcome", "owe_patch", "fill_patch", "dry_patch",
		"unfill_patch"}},
	{"snags", "Snags", []string{"snag", "give_snag", "put_right", "close_snag", "reopen_snag"}},
	{"photos", "Photos", []string{"photo", "strike_photo"}},
	{"schedule", "Schedule, held and left out", []string{"add_positions", "change_position", "hold", "release", "omit",
		"want_again"}},
	{"choices", "Recorded twice, or not taken", []string{"both", "choose", "refused"}},
}

// Diary is who did what when on a job, the newest first.
func (p *Pages) Diary(c echo.Context) error {
	j, sheet, err := p.jobSheet(c, "Diary")
	if err != nil {
		return err
	}
	by, ctx := kit.Who(c), c.Request().Context()
	all, err := p.Everyone(ctx, by)
	if err != nil {
		return err
	}
	rooms, err := p.Desk.Rooms(ctx, by, j.ID)
	if err != nil {
		return err
	}
	v := diaryView(sheet, all, rooms)
	of := v.read(c.QueryParams())
	entries, err := p.Services.Diary.Page(ctx, by, j.ID, of, DiaryPage+1)
	if err != nil {
		return err
	}
	v.fill(entries, of)
	return kit.Draw(c, http.StatusOK, web.Diary, v.DiaryView)
}

// diaryOf is a diary's page as it is being drawn.
type diaryOf struct{ web.DiaryView }

func diaryView(sheet web.Sheet, all kit.People, rooms []room.Room) *diaryOf {
	v := &diaryOf{web.DiaryView{Sheet: sheet, Does: map[id.Member]string{}, Rooms: map[id.Room]string{}}}
	for of, one := range all {
		v.Does[of] = one.Does()
		v.WhoOptions = append(v.WhoOptions, web.Option{Value: of.String(), Label: one.Name})
	}
	slices.SortFunc(v.WhoOptions, func(a, b web.Option) int { return strings.Compare(a.Label, b.Label) })
	for _, r := range rooms {
		v.Rooms[r.ID] = r.Name
		v.RoomOptions = append(v.RoomOptions, web.Option{Value: r.ID.String(), Label: r.Name})
	}
	for _, k := range diaryKinds {
		v.KindOptions = append(v.KindOptions, web.Option{Value: k.slug, Label: k.label})
	}
	v.Next = web.Next{Sentence: "Everything done on this job is here: nothing is ever deleted; " +
		"only the name of someone who left can be replaced."}
	return v
}

// read reads what is asked for. What cannot be read is said beside its field, and does
// not count.
func (v *diaryOf) read(q url.Values) (of diary.Filter) {
	v.Typed = web.Typed{Sent: q}
	bad := func(field, wrong, mend string) {
		v.Faults = append(v.Faults, fault.Field{Path: field, Wrong: wrong, Mend: mend})
	}
	number := func(name string) int64 {
		n, err := strconv.ParseInt(q.Get(name), 10, 64)
		if err != nil || n < 1 {
			return 0
		}
		return n
	}
	of.Before, of.After = number("before"), number("after")
	var err error
	if text := v.Value("room"); text != "" {
		if of.Room, err = id.Parse[id.Room](text); err != nil {
			bad("room", "there is no such room", "Choose one, or leave it open")
		}
	}
	if text := v.Value("who"); text != "" {
		if of.Member, err = id.Parse[id.Member](text); err != nil {
			bad("who", "there is nobody of that number", "Choose one, or leave it open")
		}
	}
	for _, k := range diaryKinds {
		if k.slug == v.Value("kind") {
			of.Acts = k.acts
		}
	}
	if text := v.Value("kind"); text != "" && of.Acts == nil {
		bad("kind", "there is no such kind", "Choose one, or leave it open")
	}
	if text := v.Value("day"); text != "" {
		day, err := time.Parse(time.DateOnly, text)
		if err != nil || day.Year() < 1900 || day.Year() > 2190 {
			bad("day", text+" is no day", "Write it as 2026-11-25")
			return of
		}
		of.From, of.Until = v.Zone.Begins(day), v.Zone.Begins(day.AddDate(0, 0, 1))
	}
	return of
}

// fill puts entries, the newest first and one more than a page has if there are more,
// onto the page.
func (v *diaryOf) fill(entries []diary.Entry, of diary.Filter) {
	more, up := len(entries) > DiaryPage, of.After > 0 && of.Before == 0
	switch {
	case more && up:
		entries = entries[1:]
	case more:
		entries = entries[:DiaryPage]
	}
	for i, e := range entries {
		v.Days = intoDay(v.Days, e, v.Zone, i >= diaryShown)
	}
	for _, name := range []string{"room", "who", "kind", "day"} {
		if v.Value(name) != "" {
			v.All = v.At.Diary()
		}
	}
	if len(entries) == 0 {
		return
	}
	if more && !up || up {
		v.Older = v.turn("before", entries[len(entries)-1].Seq)
	}
	if up && more || of.Before > 0 {
		v.Newer = v.turn("after", entries[0].Seq)
	}
}

// turn is the address of another page of what is asked for.
func (v *diaryOf) turn(name string, seq int64) string {
	q := url.Values{name: {strconv.FormatInt(seq, 10)}}
	for _, kept := range []string{"room", "who", "kind", "day"} {
		if is := v.Value(kept); is != "" {
			q.Set(kept, is)
		}
	}
	return v.At.Diary() + "?" + q.Encode()
}

// intoDay adds an entry to the last day in a zone, or begins another. A day of which a
// part is folded is told in two.
func intoDay(days []web.DiaryDay, e diary.Entry, in words.Zone, folded bool) []web.DiaryDay {
	day := in.Day(e.At)
	if n := len(days); n == 0 || !days[n-1].Date.Equal(day) || days[n-1].Folded != folded {
		days = append(days, web.DiaryDay{Date: day, Folded: folded})
	}
	last := &days[len(days)-1]
	last.Entries = append(last.Entries, e)
	return days
}
