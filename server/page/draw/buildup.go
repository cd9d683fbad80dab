package draw

import (
	"net/http"
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

// BuildUp is the form of what will go on one face.
func (p *Pages) BuildUp(c echo.Context) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	s, d, err := kit.On(c, p.scene, "Build-up", "datum", (*room.Record).Datum)
	if err != nil {
		return err
	}
	v, err := p.buildUpForm(c, s, d)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.BuildUp, v)
}

func (p *Pages) buildUpForm(c echo.Context, s *scene, d *room.Datum) (web.BuildUpFormView, error) {
	all, err := p.Firm.BuildUps(c.Request().Context(), s.By)
	s.Say("Say what will go on the " + d.Called() + ", in the order it goes on.")
	return web.BuildUpFormView{Sheet: s.Sheet, DatumID: d.ID.String(), DatumName: d.Called(),
		Standards: kit.Standards(all),
		Layers:    kit.LayersText(plannedOn(s.J.Record, d.Surface, d.ID)), StaysBare: d.StaysBare,
		Others: othersWithout(s.J.Record,
			d).names()}, err
}

// faceList is some of the faces of a surface.
type faceList []*room.Datum

// othersWithout are the other faces of a face's surface for which nothing is
// planned, and of which nobody said that they stay bare.
func othersWithout(r *room.Record, d *room.Datum) faceList {
	var out faceList
	for i := range r.Datums {
		o := &r.Datums[i]
		if o.Surface == d.Surface && o.ID != d.ID && o.Kind == words.Face && !o.StaysBare &&
			len(r.LayersOf(o.Surface, o.ID)) == 0 {
			out = append(out, o)
		}
	}
	return out
}

func (l faceList) names() string {
	var out []string
	for _, d := range l {
		out = append(out, d.Called())
	}
	return strings.Join(out, ", ")
}

// PlanBuildUp takes it: layers, or that the face stays bare.
func (p *Pages) PlanBuildUp(c echo.Context) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	s, d, err := kit.On(c, p.scene, "Build-up", "datum", (*room.Record).Datum)
	if err != nil {
		return err
	}
	all, err := p.Firm.BuildUps(c.Request().Context(), s.By)
	if err != nil {
		return err
	}
	bare := f.Get("stays_bare") != ""
	layers := f.Chosen(all, "standard", "layers")
	switch {
	case bare && len(layers) > 0:
		f.Bad("stays_bare", "it is to stay bare, and layers are given", "Take one of the two away")
	case !bare && len(layers) == 0:
		f.Bad("layers", "nothing is given", "Give the layers, or say that it stays bare")
	}
	plan := deed.Plan{Surface: d.Surface, Datums: []id.Datum{d.ID}, Layers: layers}
	others := f.Get("others") != "" && !bare
	if others {
		for _, o := range othersWithout(s.J.Record, d) {
			plan.Datums = append(plan.Datums, o.ID)
		}
	}
	if err = f.Err(); err == nil {
		err = p.plan(c, s, d, plan, bare)
	}
	return p.taken(c, err, s.At.RoomPage(), "build-up", "Build-up",
		func(s *scene, status int, faults []fault.Field) error {
			v, err := p.buildUpForm(c, s, d)
			if err != nil {
				return err
			}
			v.Faults = kit.UnderField(faults, "layers")
			v.Standard, v.Layers, v.StaysBare, v.OthersToo = f.Get("standard"), f.Get("layers"), bare, others
			return kit.Draw(c, status, web.BuildUp, v)
		})
}

// plan puts the layers and the mark in the order in which each may be: a face
// that stays bare has no layers.
func (p *Pages) plan(c echo.Context, s *scene, d *room.Datum, plan deed.Plan, bare bool) error {
	ctx, of := c.Request().Context(), s.J.Record.ID
	layers := func() error {
		_, err := p.Desk.Do(ctx, s.By, of, plan)
		return err
	}
	mark := func() error {
		_, err := p.Desk.Do(ctx, s.By, of, deed.StaysBare{Datum: d.ID, Stays: bare})
		return err
	}
	first, then := mark, layers
	if bare {
		first, then = layers, mark
	}
	if bare != d.StaysBare || bare {
		if err := first(); err != nil {
			return err
		}
	}
	return then()
}
