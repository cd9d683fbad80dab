package page

import (
	"net/http"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/visit"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Patches is every patch of a room.
func (p *Pages) Patches(c echo.Context) error {
	s, err := p.scene(c, "Patches")
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Patches, s.patches())
}

func (s *scene) patches() web.PatchesView {
	var v web.PatchesView
	open, owed := 0, map[id.Opening]bool{}
	for _, patch := range s.j.Record.Patches {
		owed[patch.Opening] = true
		row := web.PatchRow{ID: patch.Opening.String(), FilledAt: patch.FilledAt, DryFrom: patch.DryAt}
		row.Where, row.Why = s.holeWords(patch.Opening)
		if patch.FilledAt.IsZero() {
			open++
		}
		row.Dry = !patch.DryAt.IsZero() && !patch.DryAt.After(s.j.Now)
		v.Rows = append(v.Rows, row)
	}
	for _, o := range s.j.Record.Openings {
		if where, why := s.holeWords(o.ID); !owed[o.ID] {
			v.Holes = append(v.Holes, web.Option{Value: o.ID.String(), Label: where + ", " + why})
		}
	}
	if s.say("Nothing is owed here."); open > 0 {
		s.say(words.Count(open, "patch") + " to fill. Fill early: a patch has to dry before it is painted.")
	}
	v.Sheet = s.sheet
	return v
}

// holeWords says which hole a patch is at, and why it is owed.
func (s *scene) holeWords(of id.Opening) (where, why string) {
	o, err := s.j.Record.Opening(of)
	if err != nil {
		return "a hole", ""
	}
	where = "a hole"
	if q, err := s.j.Record.Position(o.Position); err == nil {
		where = q.Name
	}
	if why = o.Outcome.String(); o.Says != "" {
		why += ": " + o.Says
	}
	return where, why
}

// OwePatch says that a hole has to be made good.
func (p *Pages) OwePatch(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := roomID(c)
	if err != nil {
		return err
	}
	d := owedOf(f)
	if err = f.err(); err == nil {
		_, err = p.Stage.OwePatch(c.Request().Context(), who(c), of, d.Opening)
	}
	return p.taken(c, err, PlaceOf(c).Patches(), "patch", "Patches",
		func(s *scene, status int, faults []fault.Field) error {
			v := s.patches()
			v.Faults = faults
			return Draw(c, status, web.Patches, v)
		})
}

// owedOf reads the form: at which hole.
func owedOf(f *form) visit.OwePatch {
	opening, err := id.Parse[id.Opening](f.Get("opening"))
	if err != nil {
		f.bad("opening", "it does not say at which hole", "Choose it")
	}
	return visit.OwePatch{Opening: opening}
}

// PatchFilled says that a patch was filled, now; it is dry a day later unless
// somebody looks and says otherwise.
func (p *Pages) PatchFilled(c echo.Context) error {
	return p.patch(c, "filled", func(of id.Room, opening id.Opening) error {
		_, err := p.Stage.FillNow(c.Request().Context(), who(c), of, opening)
		return err
	})
}

// PatchDry says that somebody looked and found a patch dry.
func (p *Pages) PatchDry(c echo.Context) error {
	return p.patch(c, "dry", func(of id.Room, opening id.Opening) error {
		_, err := p.Stage.DryPatch(c.Request().Context(), who(c), of, opening, time.Time{})
		return err
	})
}

func (p *Pages) patch(c echo.Context, said string, do func(id.Room, id.Opening) error) error {
	of, opening, err := inRoom[id.Opening](c, "opening")
	if err != nil {
		return err
	}
	if err := do(of, opening); err != nil {
		return err
	}
	return seeOther(c, PlaceOf(c).Patches(), said)
}
