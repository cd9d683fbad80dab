package page

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// NewSurface is the form for one more surface.
func (p *Pages) NewSurface(c echo.Context) error {
	s, err := p.scene(c, "A new surface")
	if err != nil {
		return err
	}
	v, err := p.surfaceForm(c, s)
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Surface, v)
}

func (p *Pages) surfaceForm(c echo.Context, s *scene) (web.SurfaceFormView, error) {
	if err := firm.MayRunJobs(s.by); err != nil {
		return web.SurfaceFormView{}, err
	}
	all, err := p.Firm.BuildUps(c.Request().Context(), s.by)
	if err != nil {
		return web.SurfaceFormView{}, err
	}
	s.say("Draw the ceiling first: most holes are there.")
	return web.SurfaceFormView{Sheet: s.sheet, Kinds: surfaceKinds(s.j.Record), BuildUps: standards(all)}, nil
}

// surfaceKinds are the kinds of surface that a room can be given; a wall is one
// of its own.
func surfaceKinds(r *room.Record) []web.Option {
	out := []web.Option{{Value: "ceiling", Label: "ceiling"}, {Value: "floor", Label: "floor"}}
	for i, side := range sides(r.Outline) {
		a, b := r.Outline[i], r.Outline[(i+1)%len(r.Outline)]
		out = append(out, web.Option{Value: fmt.Sprintf("wall %d", i+1), Label: fmt.Sprintf("wall: %s, %s long", side,
			words.MM(distance(a, b)))})
	}
	for i, side := range sides(r.Outline) {
		out = append(out, web.Option{Value: fmt.Sprintf("slope %d", i+1), Label: "slope over the " + side + " wall"})
	}
	return out
}

// AddSurface takes it, and what goes on it.
func (p *Pages) AddSurface(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := roomID(c)
	if err != nil {
		return err
	}
	ctx, by := c.Request().Context(), who(c)
	all, err := p.Firm.BuildUps(ctx, by)
	if err != nil {
		return err
	}
	d, layers := surfaceDraft(f, all)
	if err = f.err(); err == nil {
		_, err = p.Room.AddSurface(ctx, by, of, d)
	}
	if err == nil && len(layers) > 0 {
		_, err = p.Room.PlanBuildUp(ctx, by, of, deed.Plan{Surface: d.ID, Layers: layers})
	}
	at := PlaceOf(c)
	return p.taken(c, err, at.RoomPage(), "surface", "A new surface",
		func(s *scene, status int, faults []fault.Field) error {
			return p.surfaceAgain(c, s, f, status, faults, "")
		})
}

func surfaceDraft(f *form, all []firm.BuildUp) (room.SurfaceDraft, []firm.Layer) {
	o := &outlineForm{f: f}
	d := room.SurfaceDraft{ID: newID[id.Surface](f, 0), Name: f.Get("name"), Kind: f.Get("kind"),
		Outline: o.cornersOf("outline", f.Get("outline"))}
	if kind, wall, ok := strings.Cut(d.Kind, " "); ok {
		d.Kind = kind
		d.Wall, _ = strconv.Atoi(wall) // 0 is refused by the service
	}
	if d.Kind == "" {
		f.bad("kind", "it does not say what it is", "Choose ceiling, floor, a wall or a slope")
	}
	if d.Kind == "slope" {
		d.Pitch, d.Length = f.needed("pitch", "pitch"), f.needed("length", "length up the slope")
	}
	return d, f.chosen(all, "build_up", "layers")
}

func (p *Pages) surfaceAgain(c echo.Context, s *scene, f *form, status int, faults []fault.Field,
	surface string) error {
	v, err := p.surfaceForm(c, s)
	if err != nil {
		return err
	}
	v.SurfaceID, v.Faults = surface, renamed(faults, "wall", "kind", "datums", "layers")
	v.Form = web.SurfaceForm{Name: f.Get("name"), Kind: f.Get("kind"), Outline: f.Get("outline"), Pitch: f.Get("pitch"),
		Length: f.Get("length"), BuildUp: f.Get("build_up"), Layers: f.Get("layers")}
	return Draw(c, status, web.Surface, v)
}

// Surface is the form of one that is there: what goes on it can be changed.
func (p *Pages) Surface(c echo.Context) error {
	s, on, err := p.onSurface(c, "Surface")
	if err != nil {
		return err
	}
	v, err := p.surfaceForm(c, s)
	if err != nil {
		return err
	}
	v.Sheet.Title, v.SurfaceID = words.Capital(on.Name), on.ID.String()
	v.Sheet.Next = web.Next{Sentence: "Say what will go on the " + on.Name +
		". Its name and outline stay as they were drawn."}
	v.Form = web.SurfaceForm{Name: on.Name, Kind: on.Kind, Outline: pointsText(on.Outline),
		Layers: layersText(plannedOn(s.j.Record, on.ID, id.Datum{}))}
	v.Kinds = options(on.Kind)
	return Draw(c, http.StatusOK, web.Surface, v)
}

// onSurface reads the room and finds the surface that the address names.
func (p *Pages) onSurface(c echo.Context, title string) (*scene, *room.Surface, error) {
	s, err := p.scene(c, title)
	if err != nil {
		return nil, nil, err
	}
	of, err := id.Parse[id.Surface](c.Param("surface"))
	if err != nil {
		return nil, nil, err
	}
	on, err := s.j.Record.Surface(of)
	return s, on, err
}

func plannedOn(r *room.Record, surface id.Surface, datum id.Datum) []firm.Layer {
	var out []firm.Layer
	for _, l := range r.LayersOf(surface, datum) {
		out = append(out, firm.Layer{Name: l.Name, Thickness: l.Thickness, Sigma: l.Sigma, Stage: l.Stage})
	}
	return out
}

// ChangeSurface takes what will go on a surface.
func (p *Pages) ChangeSurface(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, surface, err := inRoom[id.Surface](c, "surface")
	if err != nil {
		return err
	}
	ctx, by := c.Request().Context(), who(c)
	all, err := p.Firm.BuildUps(ctx, by)
	if err != nil {
		return err
	}
	layers := f.chosen(all, "build_up", "layers")
	if err = f.err(); err == nil {
		_, err = p.Room.PlanBuildUp(ctx, by, of, deed.Plan{Surface: surface, Layers: layers})
	}
	return p.taken(c, err, PlaceOf(c).RoomPage(), "build-up", "Surface",
		func(s *scene, status int, faults []fault.Field) error {
			return p.surfaceAgain(c, s, f, status, underField(faults, "layers"), surface.String())
		})
}
