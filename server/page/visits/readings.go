package visits

import (
	"math"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Reading is the form that puts one reading right, or strikes it out.
func (p *Pages) Reading(c echo.Context) error {
	return kit.ShowOne(c, p.House, web.Reading, "reading", (*room.Record).Measurement, Reading)
}

// Reading draws it.
func Reading(v kit.Viewer, j *standing.Standing, m *room.Measurement) (web.ReadingView, error) {
	return look(v, j, "Mend a reading").readingView(m), nil
}

func (s *scene) readingView(m *room.Measurement) web.ReadingView {
	s.Say("Put it right, or strike it out with the reason. What it said before stays in the diary.")
	s.Sheet.Token = kit.WithVersion(s.Sheet.Token, m.Version)
	v := web.ReadingView{Sheet: s.Sheet, ReadingID: m.ID.String(), Row: s.Measurement(m), Instruments: kit.Instruments,
		Form: web.MeasureForm{Kind: string(m.Kind), Datum: m.From.String(), State: m.State, To: m.To.String(),
			ToState: m.ToState,
			Value:   kit.Figure(m.Value), By: m.By, SurfaceState: m.SurfaceState}}
	if d, err := s.J.Record.Datum(m.From); err == nil && d.Kind == words.Line {
		v.Form.State, v.Form.Value = kit.SideOf(m.Value), kit.Figure(math.Abs(m.Value))
	}
	if d, err := s.J.Record.Datum(m.To); err == nil && d.Kind == words.Line {
		v.Form.ToState = kit.LeftSide
	}
	for i := range s.J.Record.Datums {
		if d := &s.J.Record.Datums[i]; d.Surface == m.Surface {
			v.Datums = append(v.Datums, s.datumChoice(d))
		}
	}
	v.SurfaceStates = s.surfaceStates(m.Surface)
	return v
}

// Correct takes what was put right, unless somebody else did first.
func (p *Pages) Correct(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	s, old, err := kit.On(c, p.scene, "Mend a reading", "reading", (*room.Record).Measurement)
	if err != nil {
		return err
	}
	d, err := f.Deed(deed.KindCorrect, old.ID.String(), s.J)
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), s.By, s.J.Record.ID, d)
	}
	return p.taken(c, err, s.At.RoomPage(), "mended", "Mend a reading",
		func(s *scene, status int, faults []fault.Field) error {
			m, err := s.J.Record.Measurement(old.ID)
			if err != nil {
				return err
			}
			v := s.readingView(m)
			v.Form, v.Faults = typedReading(f), kit.OnForm(deed.Kinds[deed.KindCorrect])(faults)
			return kit.Draw(c, status, web.Reading, v)
		})
}

// Strike strikes a reading out, with the reason.
func (p *Pages) Strike(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	s, old, err := kit.On(c, p.scene, "Mend a reading", "reading", (*room.Record).Measurement)
	if err != nil {
		return err
	}
	_, err = p.Services.Desk.Do(c.Request().Context(), s.By, s.J.Record.ID,
		deed.Strike{Measurement: old.ID, Version: f.Version, Why: f.Get("reason")})
	return p.taken(c, err, s.At.RoomPage(), "struck", "Mend a reading",
		func(s *scene, status int, faults []fault.Field) error {
			m, err := s.J.Record.Measurement(old.ID)
			if err != nil {
				return err
			}
			v := s.readingView(m)
			v.Reason, v.Faults = f.Get("reason"), faults
			return kit.Draw(c, status, web.Reading, v)
		})
}
