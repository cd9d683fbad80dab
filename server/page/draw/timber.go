package draw

import (
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"lathmark/domain/caution"
	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// timbersPage is the page of a surface's timbers with one of its forms.
func timbersPage(of deed.Kind) form[web.TimberFormView] {
	return form[web.TimberFormView]{of: deed.Kinds[of], page: web.Timber, title: "Timbers", param: "surface",
		view: (*scene).timbers, to: web.Place.Timbers}
}

// Timbers is the form for timbers of a surface: one, or a run at even spacing
// along a face. With the form in its address the plan has what that would add.
func (p *Pages) Timbers() kit.Pair {
	at := timbersPage(deed.KindAddTimbers)
	both := pair(p, at)
	plain := both.Get
	both.Get = func(c echo.Context) error {
		if !c.QueryParams().Has("shape") {
			return plain(c)
		}
		s, err := at.scene(c, p)
		if err != nil {
			return err
		}
		v, err := s.timbers(kit.One(c), web.Typed{})
		if err != nil {
			return err
		}
		v.Plan = s.plan(s.index(v.SurfaceID), s.coming(c, at.of, "width", "47"))
		return kit.Draw(c, http.StatusOK, at.page, v)
	}
	return both
}

// index is where a surface of the room stands.
func (s *scene) index(surface string) int {
	return slices.IndexFunc(s.J.Record.Surfaces, func(o room.Surface) bool { return o.ID.String() == surface })
}

// shortWay is the face that joists run along where nobody has said so yet: they span the short way, so it is the
// longest that lies across the long one.
func shortWay(on *room.Surface, datums []room.Datum) (face string) {
	low, high := room.Box(on.Outline)
	across, most := 0, 0.0
	if high[0]-low[0] > high[1]-low[1] {
		across = 1
	}
	for _, d := range datums {
		if long := math.Abs(d.B[across] - d.A[across]); d.Surface == on.ID && d.Kind == words.Face && long > most {
			face, most = d.ID.String(), long
		}
	}
	return face
}

// AddWay takes a cable run through the timbers of a surface.
func (p *Pages) AddWay() echo.HandlerFunc { return pair(p, timbersPage(deed.KindAddWay)).Post }

func (s *scene) timbers(surface string, typed web.Typed) (v web.TimberFormView, err error) {
	on, err := deed.ByID(s.J.Record.Surface, surface)
	if err != nil {
		return v, err
	}
	s.Say("Record the timbers while you can see them.")
	v = web.TimberFormView{Sheet: s.Sheet, Typed: typed, SurfaceID: surface, SurfaceName: on.Name,
		Cautions: []web.Caution{kit.Shown(caution.JoistCable)}, Cables: cables(s.J.Record, on)}
	for _, t := range s.J.Record.Timbers {
		if t.Surface == on.ID {
			v.Timbers = append(v.Timbers, t)
		}
	}
	for i := range s.J.Record.Datums {
		if d := &s.J.Record.Datums[i]; d.Surface == on.ID && d.Kind == words.Face {
			v.Datums = append(v.Datums, web.Option{Value: d.ID.String(), Label: d.Called()})
		}
	}
	v.Plan = s.plan(s.index(surface), nil)
	v.Begins = url.Values{"shape": {"spaced"}, "face": {shortWay(on, s.J.Record.Datums)},
		"name": {"J" + strconv.Itoa(len(v.Timbers)+1)}, "way_kind": {string(room.HoleWay)}}
	return v, nil
}

// RemoveTimber takes a timber off an open record.
func (p *Pages) RemoveTimber(c echo.Context) error {
	return p.press(c, deed.KindRemoveTimber, "timber", (*scene).room)
}

// RemoveWay takes a cable run off an open record.
func (p *Pages) RemoveWay(c echo.Context) error {
	return p.press(c, deed.KindRemoveWay, "way", func(s *scene) string {
		w, err := deed.ByID[id.Way](s.J.Record.Way, c.Param("way"))
		if err != nil {
			return s.room()
		}
		return s.At.Timbers(w.Surface.String())
	})
}
