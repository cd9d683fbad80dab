package page

import (
	"context"
	"net/http"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// NewRoom is the form for one more room of a job.
func (p *Pages) NewRoom(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	v, err := p.roomForm(c)
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.NewRoom, v)
}

func (p *Pages) roomForm(c echo.Context) (web.RoomFormView, error) {
	j, err := p.jobOf(c)
	if err != nil {
		return web.RoomFormView{}, err
	}
	v := web.RoomFormView{Sheet: p.Sheet(c, "A new room"), Form: web.RoomForm{Shape: "walls"}}
	v.Job = j.Name
	v.Next = web.Next{Sentence: "Begin at the wall that you face when the drawing lies before you, and go round."}
	return v, nil
}

// AddRoom takes it: the room with its ceiling, or with its slopes.
func (p *Pages) AddRoom(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := id.Parse[id.Job](c.Param("job"))
	if err != nil {
		return err
	}
	var made *standing.Standing
	draft, err := roomDraft(f, of)
	if err == nil {
		draft.Place, err = p.lastPlace(c.Request().Context(), who(c), of)
	}
	if err == nil {
		made, err = p.Room.Create(c.Request().Context(), who(c), draft)
	}
	if fields, ok := mendable(err); ok {
		v, err2 := p.roomForm(c)
		if err2 != nil {
			return err2
		}
		v.Faults = renamed(fields, "outline", f.Get("shape"))
		v.Form = web.RoomForm{Name: f.Get("name"), Height: f.Get("height"), Shape: f.Get("shape"), Walls: f.Get("walls"),
			Corners: f.Get("corners"), Breasts: f.Get("breasts"), Slopes: f.Get("slopes"), Wet: f.Get("wet")}
		return Draw(c, mendStatus(err), web.NewRoom, v)
	}
	if err != nil {
		return err
	}
	return seeOther(c, web.Place{Room: made.Record.ID.String()}.RoomPage(), "room")
}

// lastPlace is where the next room of a job stands: one walks into it last.
func (p *Pages) lastPlace(ctx context.Context, by firm.Person, of id.Job) (int, error) {
	rooms, err := p.Room.Rooms(ctx, by, of)
	place := 1
	for _, r := range rooms {
		place = max(place, r.Place+1)
	}
	return place, err
}

// roomDraft reads the form of a room.
func roomDraft(f *form, of id.Job) (room.Draft, error) {
	d := room.Draft{ID: newID[id.Room](f, 0), Job: of, Name: f.Get("name"), Height: f.needed("height", "height")}
	if d.Name == "" {
		f.bad("name", "the room has no name", "Call it as you do on site")
	}
	o := &outlineForm{f: f}
	if f.Get("shape") == "corners" {
		d.Outline = o.cornersOf("corners", f.Get("corners"))
	} else {
		d.Outline = o.wallsOf(f.Get("walls"))
	}
	if err := f.err(); err != nil {
		return d, err
	}
	d.Outline = o.breasts(d.Outline, f.Get("breasts"))
	d.Called = o.called
	slopes := o.slopes(f.Get("slopes"))
	d.Wet = wetOf(f, "wet")
	if err := f.err(); err != nil {
		return d, err
	}
	for i, s := range slopes {
		name := "slope"
		if len(slopes) > 1 {
			name = "slope over " + o.walls[s.wall-1]
		}
		d.Surfaces = append(d.Surfaces, room.SurfaceDraft{ID: newID[id.Surface](f, i+1), Name: name, Kind: "slope",
			Wall: s.wall, Pitch: s.pitch, Length: s.length(d.Height)})
	}
	if len(slopes) == 0 {
		d.Surfaces = []room.SurfaceDraft{{ID: newID[id.Surface](f, 1), Name: "ceiling", Kind: "ceiling"}}
	}
	return d, nil
}
