package draw

import (
	"context"
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// others are the rooms of the firm's open jobs to copy from, but the one; those of the job come first.
func (p *Pages) others(ctx context.Context, by firm.Person, of id.Job, but id.Room) (out []web.Option, err error) {
	all, err := p.Book.All(ctx, by, room.Scope{})
	if err != nil {
		return nil, err
	}
	var rest []web.Option
	for _, j := range all {
		o := web.Option{Value: j.Record.ID.String(), Label: j.Record.Name}
		switch {
		case j.Record.ID == but:
		case j.Record.Job == of:
			out = append(out, o)
		default:
			o.Label += ", " + j.Record.JobName
			rest = append(rest, o)
		}
	}
	return append(out, rest...), nil
}

// CopyRoom makes a room of the job as a copy of another.
func (p *Pages) CopyRoom() echo.HandlerFunc {
	return kit.Filled[web.RoomFormView]{May: firm.MayRunJobs, Page: web.NewRoom, View: p.roomForm,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			by, ctx := kit.Who(c), c.Request().Context()
			of, err := id.Parse[id.Job](c.Param("job"))
			if err != nil {
				return "", "", err
			}
			d := deed.Copy{ID: kit.NewID[id.Room](f, 0), Name: f.Named("copy_name", "the room has no name",
				"Call it as you do on site"), Schedule: f.Get("with_schedule") != "", Timbers: f.Get("with_timbers") != ""}
			if d.Of, err = id.Parse[id.Room](f.Get("of")); err != nil {
				f.Bad("of", "it does not say which room", "Choose one")
			}
			place, err := p.lastPlace(ctx, by, of)
			if err != nil {
				return "", "", err
			}
			if err := f.Err(); err != nil {
				return "", "", err
			}
			made, err := p.Desk.Copy(ctx, by, of, place, d)
			return pageOf(made), "room", err
		}}.Pair().Post
}

// CopySchedule puts the positions of another room on the schedule.
func (p *Pages) CopySchedule(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	s, err := p.Scene(c, "Schedule")
	if err != nil {
		return err
	}
	from, err := id.Parse[id.Room](f.Get("from"))
	if err != nil {
		f.Bad("from", "it does not say which room", "Choose one")
		err = f.Err()
	} else {
		_, err = p.Desk.CopySchedule(c.Request().Context(), s.By, s.J.Record.ID, from, kit.NewID[id.Position](f, 0),
			f.Get(deed.Reopening) != "")
	}
	if err == nil {
		return kit.Did(c, deed.KindSchedule, s.At.Schedule())
	}
	fields, ok := kit.Mendable(err)
	if !ok {
		return err
	}
	v, err2 := p.copyingTo(c, &scene{Scene: s}, web.Typed{Faults: fields, Sent: f.Values})
	if err2 != nil {
		return err2
	}
	v.Asks = asks("copy", &v.Typed)
	return kit.Draw(c, kit.MendStatus(err), web.Schedule, v)
}

// GetCopySchedule is the schedule with the rooms to copy from: every room of the firm's open jobs, which the
// schedule alone does not ask for.
func (p *Pages) GetCopySchedule(c echo.Context) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	s, err := p.Scene(c, "Schedule")
	if err != nil {
		return err
	}
	v, err := p.copyingTo(c, &scene{Scene: s}, web.Typed{})
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Schedule, v)
}

// copyingTo is the schedule with the rooms to copy from.
func (p *Pages) copyingTo(c echo.Context, s *scene, typed web.Typed) (v web.ScheduleView, err error) {
	v = s.schedule(typed)
	if v.Copies = v.MayEdit; v.Copies {
		v.Others, err = p.others(c.Request().Context(), s.By, s.J.Record.Job, s.J.Record.ID)
	}
	return v, err
}
