package draw

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
	"lathmark/server/page/kit"
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
	return kit.Draw(c, http.StatusOK, web.Surface, v)
}

func (p *Pages) surfaceForm(c echo.Context, s *scene) (web.SurfaceFormView, error) {
	if err := firm.MayRunJobs(s.By); err != nil {
		return web.SurfaceFormView{}, err
	}
	all, err := p.Firm.BuildUps(c.Request().Context(), s.By)
	if err != nil {
		return web.SurfaceFormView{}, err
	}
	s.Say("Draw the ceiling first: most holes are there.")
	return web.SurfaceFormView{Sheet: s.Sheet, Kinds: surfaceKinds(s.J.Record), BuildUps: kit.Standards(all)}, nil
}

// surfaceKinds are the kinds of surface that a room can be given; a wall is one
// of its own.
func surfaceKinds(r *room.Record) []web.Option {
	out := []web.Option{{Value: "ceiling", Label: "ceiling"}, {Value: "floor", Label: "floor"}}
	for i, side := range sides(r.Outline) {
		a, b := r.Outline[i], r.Outline[(i+1)%len(r.Outline)]
		out = append(out, web.Option{Value: fmt.Sprintf("wall %d", i+1), Label: fmt.Sprintf("wall: %s, %s long", side,
			words.MM(kit.Distance(a, b)))})
	}
	for i, side := range sides(r.Outline) {
		out = append(out, web.Option{Value: fmt.Sprintf("slope %d", i+1), Label: "slope over the " + side + " wall"})
	}
	return out
}

// AddSurface takes it, and what goes on it.
func (p *Pages) AddSurface(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	ctx, by := c.Request().Context(), kit.Who(c)
	all, err := p.Firm.BuildUps(ctx, by)
	if err != nil {
		return err
	}
	d, layers := surfaceDraft(f, all)
	if err = f.Err(); err == nil {
		_, err = p.Desk.Do(ctx, by, of, deed.AddSurface{Surface: d})
	}
	if err == nil && len(layers) > 0 {
		_, err = p.Desk.Do(ctx, by, of, deed.Plan{Surface: d.ID, Layers: layers})
	}
	at := kit.PlaceOf(c)
	return p.taken(c, err, at.RoomPage(), "surface", "A new surface",
		func(s *scene, status int, faults []fault.Field) error {
			return p.surfaceAgain(c, s, f, status, faults, "")
		})
}

func surfaceDraft(f *kit.Form, all []firm.BuildUp) (room.SurfaceDraft, []firm.Layer) {
	o := &outlineForm{f: f}
	d := room.SurfaceDraft{ID: kit.NewID[id.Surface](f, 0), Name: f.Get("name"), Kind: f.Get("kind"),
		Outline: o.cornersOf("outline", f.Get("outline"))}
	if kind, wall, ok := strings.Cut(d.Kind, " "); ok {
		d.Kind = kind
		d.Wall, _ = strconv.Atoi(wall) // 0 is refused by the service
	}
	if d.Kind == "" {
		f.Bad("kind", "it does not say what it is", "Choose ceiling, floor, a wall or a slope")
	}
	if d.Kind == "slope" {
		d.Pitch, d.Length = f.Needed("pitch", "pitch"), f.Needed("length", "length up the slope")
	}
	return d, f.Chosen(all, "build_up", "layers")
}

func (p *Pages) surfaceAgain(c echo.Context, s *scene, f *kit.Form, status int, faults []fault.Field,
	surface string) error {
	v, err := p.surfaceForm(c, s)
	if err != nil {
		return err
	}
	v.SurfaceID, v.Faults = surface, kit.Renamed(faults, "wall", "kind", "datums", "layers")
	v.Form = web.SurfaceForm{Name: f.Get("name"), Kind: f.Get("kind"), Outline: f.Get("outline"), Pitch: f.Get("pitch"),
		Length: f.Get("length"), BuildUp: f.Get("build_up"), Layers: f.Get("layers")}
	return kit.Draw(c, status, web.Surface, v)
}

// Surface is the form of one that is there: what goes on it can be changed.
func (p *Pages) Surface(c echo.Context) error {
	s, on, err := kit.On(c, p.scene, "Surface", "surface", (*room.Record).Surface)
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
	v.Form = web.SurfaceForm{Name: on.Name, Kind: on.Kind, Outline: kit.PointsText(on.Outline),
		Layers: kit.LayersText(plannedOn(s.J.Record, on.ID, id.Datum{}))}
	v.Kinds = kit.Options(on.Kind)
	return kit.Draw(c, http.StatusOK, web.Surface, v)
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
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, surface, err := kit.InRoom[id.Surface](c, "surface")
	if err != nil {
		return err
	}
	ctx, by := c.Request().Context(), kit.Who(c)
	all, err := p.Firm.BuildUps(ctx, by)
	if err != nil {
		return err
	}
	layers := f.Chosen(all, "build_up", "layers")
	if err = f.Err(); err == nil {
		_, err = p.Desk.Do(ctx, by, of, deed.Plan{Surface: surface, Layers: layers})
	}
	return p.taken(c, err, kit.PlaceOf(c).RoomPage(), "build-up", "Surface",
		func(s *scene, status int, faults []fault.Field) error {
			return p.surfaceAgain(c, s, f, status, kit.UnderField(faults, "layers"), surface.String())
		})
}
