// Package draw is what is drawn of a room before anybody measures: outline, surfaces, datums, timbers, schedule.
package draw

import (
	"lathmark/domain/fault"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"

	"github.com/labstack/echo/v4"
)

// Pages are the handlers.
type Pages struct{ *kit.House }

// scene is a room as the person looks at it who asks, with what only this
// folder draws of it.
type scene struct{ *kit.Scene }

func look(v kit.Viewer, j *standing.Standing, title string) *scene { return &scene{v.Scene(j, title)} }

func (p *Pages) scene(c echo.Context, title string) (*scene, error) {
	s, err := p.House.Scene(c, title)
	return &scene{s}, err
}

// taken is kit.House.Taken with this folder's scene.
func (p *Pages) taken(c echo.Context, err error, to, said, title string,
	again func(s *scene, status int, faults []fault.Field) error) error {
	return p.House.Taken(c, err, to, said, title, func(s *kit.Scene, status int, faults []fault.Field) error {
		return again(&scene{s}, status, faults)
	})
}
