package programme

import (
	"context"
	"strconv"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Owed is what has to arrive or to be decided in a job, and the form that lists one more.
func (p *Pages) Owed() kit.Pair {
	return kit.Filled[web.OwedView]{May: firm.MayRunJobs, Page: web.Owed, View: p.owedView,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			o := programme.Owed{ID: kit.NewID[id.Owed](f, 0), Room: roomOf(f, "room"), For: stage(f, "for"), What: f.Get("what"),
				By: words.Trade(f.Get("by")), Since: day(f, "since"), Lead: lead(f)}
			if err = f.Err(); err == nil {
				_, err = p.Programme.SaveOwed(c.Request().Context(), kit.Who(c), o)
			}
			return kit.PlaceOf(c).Owed(), "owed", err
		}, Names: []string{"stage", "for"}}.Pair()
}

// lead reads the days that something takes; an empty field is 0.
func lead(f *kit.Form) int {
	text := f.Get("lead")
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		f.Bad("lead", strconv.Quote(text)+" is no number of days", "Give whole days, such as 14")
	}
	return n
}

func (p *Pages) owedView(c echo.Context, typed web.Typed) (v web.OwedView, err error) {
	v = web.OwedView{Typed: typed, Steps: web.StageOptions()}
	var got programme.View
	if v.Sheet, v.Rooms, got, err = p.jobSheet(c, "To order or decide"); err != nil {
		return v, err
	}
	for _, r := range v.Rooms {
		row := web.ThroughRow{Name: r.Label}
		if row.ID, err = id.Parse[id.Room](r.Value); err != nil {
			return v, err
		}
		for _, t := range got.Given.Through {
			if t.Room == row.ID {
				row.Over = append(row.Over, t.By)
			}
		}
		v.Ways = append(v.Ways, row)
		for _, o := range got.Given.Owed {
			if o.Room == row.ID {
				v.Rows = append(v.Rows, web.OwedRow{Owed: o, RoomName: r.Label})
			}
		}
	}
	v.Next = web.Next{Sentence: "List what a stage waits for: what is to be ordered, and what the client decides."}
	return v, nil
}

// Came says that what was owed is on its way, or there.
func (p *Pages) Came(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	return kit.Press(c, "owed", func(ctx context.Context, by firm.Person, of id.Owed) error {
		got, err := p.Programme.Read(ctx, by)
		if err != nil || f.Get("what") == "came" {
			if err == nil {
				err = p.Programme.Came(ctx, by, of, got.Today)
			}
			return err
		}
		return p.since(ctx, by, got.Given.Owed, of, got.Today)
	}, kit.PlaceOf(c).Owed(), "owed")
}

// since says that something was ordered or decided on a day.
func (p *Pages) since(ctx context.Context, by firm.Person, all []programme.Owed, of id.Owed, on time.Time) error {
	for _, o := range all {
		if o.ID == of {
			o.Since = on
			_, err := p.Programme.SaveOwed(ctx, by, o)
			return err
		}
	}
	return p.Programme.DropOwed(ctx, by, of) // says that there is none
}

// DropOwed takes out what is owed by mistake.
func (p *Pages) DropOwed(c echo.Context) error {
	return kit.Press(c, "owed", p.Programme.DropOwed, kit.PlaceOf(c).Owed(), "owed-gone")
}

// Through says through which rooms one is reached.
func (p *Pages) Through(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	var over []id.Room
	for _, text := range f.Values["through"] {
		one, err := id.Parse[id.Room](text)
		if err != nil {
			return err
		}
		over = append(over, one)
	}
	return kit.Press(c, "room", func(ctx context.Context, by firm.Person, of id.Room) error {
		return p.Programme.SetThrough(ctx, by, of, over)
	}, kit.PlaceOf(c).Owed(), "owed")
}
