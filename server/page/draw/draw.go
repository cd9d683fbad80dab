// Package draw is what is drawn of a room before anybody measures: outline, surfaces, datums, timbers, schedule.
package draw

import (
	"cmp"
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Pages are the handlers.
type Pages struct{ *kit.House }

// scene is a room as the person looks at it who asks, with what only this
// folder draws of it.
type scene struct {
	*kit.Scene
	standards []firm.BuildUp // where a form offers them
}

func look(v kit.Viewer, j *standing.Standing, title string) *scene {
	return &scene{Scene: v.Scene(j, title)}
}

// form is a page with the form of a deed. What the deed is about the address
// names by a parameter; one is its id, "" where the room says it all.
type form[V any] struct {
	of           *deed.Sort
	page         web.Page[V]
	title, param string
	standards    bool // it offers the firm's standard build-ups
	// roomFirst answers that there is no such room before it answers who may.
	roomFirst bool
	view      func(s *scene, one string, typed web.Typed) (V, error)
	to        func(at web.Place, one string) string
	// both answers where somebody else changed it first.
	both func(c echo.Context, s *scene, one string, f *kit.Form, err error) (answered bool, _ error)
}

// scene reads the room that the address names for somebody who may do the deed.
func (a form[V]) scene(c echo.Context, p *Pages) (*scene, error) {
	may := a.of.May(kit.Who(c))
	if may != nil && !a.roomFirst {
		return nil, may
	}
	s, err := p.Scene(c, a.title)
	if err != nil || may != nil || !a.standards {
		return &scene{Scene: s}, cmp.Or(err, may)
	}
	all, err := p.Firm.BuildUps(c.Request().Context(), s.By)
	return &scene{s, all}, err
}

// pair returns the handlers of a form.
func pair[V any](p *Pages, a form[V]) kit.Pair {
	draw := func(c echo.Context, status int, typed web.Typed) error {
		s, err := a.scene(c, p)
		if err != nil {
			return err
		}
		v, err := a.view(s, c.Param(a.param), typed)
		if err != nil {
			return err
		}
		return kit.Draw(c, status, a.page, v)
	}
	return kit.Pair{Get: func(c echo.Context) error {
		return draw(c, http.StatusOK, web.Typed{})
	}, Post: func(c echo.Context) error {
		f, s, err := a.take(c, p)
		if err == nil {
			return kit.Did(c, a.of.Kind, a.to(s.At, c.Param(a.param)))
		}
		if a.both != nil && s != nil {
			if answered, err := a.both(c, s, c.Param(a.param), f, err); answered {
				return err
			}
		}
		fields, ok := kit.Mendable(err)
		if !ok {
			return err
		}
		return draw(c, kit.MendStatus(err), web.Typed{Faults: kit.OnForm(a.of)(fields), Sent: f.Values})
	}}
}

// take reads the form of a deed and does it. It returns the room as it was
// before.
func (a form[V]) take(c echo.Context, p *Pages) (*kit.Form, *scene, error) {
	f, err := kit.FormOf(c)
	if err != nil {
		return f, nil, err
	}
	s, err := a.scene(c, p)
	if err != nil {
		return f, nil, err
	}
	d, err := a.of.Read(&deed.Sent{Form: f.Form, One: c.Param(a.param), Standing: s.J, BuildUps: s.standards})
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), s.By, s.J.Record.ID, d)
	}
	return f, s, err
}

// press answers a button that does a deed.
func (p *Pages) press(c echo.Context, of deed.Kind, param string, to func(*scene) string) error {
	_, s, err := form[any]{of: deed.Kinds[of], param: param}.take(c, p)
	if err != nil {
		return err
	}
	return kit.Did(c, of, to(s))
}

// toRoom and toSchedule are where most forms lead.
func toRoom(at web.Place, _ string) string { return at.RoomPage() }

func toSchedule(at web.Place, _ string) string { return at.Schedule() }

func (s *scene) room() string { return s.At.RoomPage() }

// buildUps are the firm's standard build-ups to choose from.
func (s *scene) buildUps() []web.Option {
	var out []web.Option
	for _, b := range s.standards {
		out = append(out, web.Option{Value: b.ID.String(), Label: b.Name})
	}
	return out
}

// tick is the value of a box.
func tick(on bool) []string {
	if on {
		return []string{"yes"}
	}
	return nil
}
