package visits

import (
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Patches is every patch of a room.
func (p *Pages) Patches(c echo.Context) error { return kit.Show(c, p.House, web.Patches, Patches) }

// Patches draws it.
func Patches(v kit.Viewer, j *standing.Standing) web.PatchesView {
	return look(v, j, "Patches").patches()
}

func (s *scene) patches() web.PatchesView {
	var v web.PatchesView
	open, owed := 0, map[id.Opening]bool{}
	for _, patch := range s.J.Record.Patches {
		owed[patch.Opening] = true
		row := web.PatchRow{ID: patch.Opening.String(), FilledAt: patch.FilledAt, DryFrom: patch.DryAt}
		row.Where, row.Why = s.holeWords(patch.Opening)
		if patch.FilledAt.IsZero() {
			open++
		}
		row.Dry = !patch.DryAt.IsZero() && !patch.DryAt.After(s.J.Now)
		v.Rows = append(v.Rows, row)
	}
	for _, o := range s.J.Record.Openings {
		if where, why := s.holeWords(o.ID); !owed[o.ID] {
			v.Holes = append(v.Holes, web.Option{Value: o.ID.String(), Label: where + ", " + why})
		}
	}
	if s.Say("Nothing is owed here."); open > 0 {
		s.Say(words.Count(open, "patch") + " to fill. Fill early: a patch has to dry before it is painted.")
	}
	v.Sheet = s.Sheet
	return v
}

// holeWords says which hole a patch is at, and why it is owed.
func (s *scene) holeWords(of id.Opening) (where, why string) {
	o, err := s.J.Record.Opening(of)
	if err != nil {
		return "a hole", ""
	}
	where = "a hole"
	if q, err := s.J.Record.Position(o.Position); err == nil {
		where = q.Name
	}
	if why = o.Outcome.String(); o.Says != "" {
		why += ": " + o.Says
	}
	return where, why
}

// OwePatch says that a hole has to be made good.
func (p *Pages) OwePatch(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	d, err := f.Deed(deed.KindOwe, "", nil)
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), of, d)
	}
	return p.taken(c, err, kit.PlaceOf(c).Patches(), "patch", "Patches",
		func(s *scene, status int, faults []fault.Field) error {
			v := s.patches()
			v.Faults = faults
			return kit.Draw(c, status, web.Patches, v)
		})
}

// PatchFilled says that a patch was filled, now; it is dry a day later unless
// somebody looks and says otherwise.
func (p *Pages) PatchFilled(c echo.Context) error {
	return p.patch(c, "filled", func(of id.Room, opening id.Opening) error {
		_, err := p.Desk.Do(c.Request().Context(), kit.Who(c), of, deed.FillPatch{Opening: opening})
		return err
	})
}

// PatchDry says that somebody looked and found a patch dry.
func (p *Pages) PatchDry(c echo.Context) error {
	return p.patch(c, "dry", func(of id.Room, opening id.Opening) error {
		_, err := p.Desk.Do(c.Request().Context(), kit.Who(c), of, deed.DryPatch{Opening: opening, At: time.Time{}})
		return err
	})
}

func (p *Pages) patch(c echo.Context, said string, do func(id.Room, id.Opening) error) error {
	of, opening, err := kit.InRoom[id.Opening](c, "opening")
	if err != nil {
		return err
	}
	if err := do(of, opening); err != nil {
		return err
	}
	return kit.SeeOther(c, kit.PlaceOf(c).Patches(), said)
}
