package page

import (
	"math"
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Reading is the form that puts one reading right, or strikes it out.
func (p *Pages) Reading(c echo.Context) error {
	s, m, err := p.onReading(c)
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Reading, s.readingView(m))
}

// onReading reads the room and finds the reading that the address names.
func (p *Pages) onReading(c echo.Context) (*scene, *room.Measurement, error) {
	s, err := p.scene(c, "Mend a reading")
	if err != nil {
		return nil, nil, err
	}
	of, err := id.Parse[id.Measurement](c.Param("reading"))
	if err != nil {
		return nil, nil, err
	}
	m, err := s.j.Record.Measurement(of)
	return s, m, err
}

func (s *scene) readingView(m *room.Measurement) web.ReadingView {
	s.say("Put it right, or strike it out with the reason. What it said before stays in the diary.")
	s.sheet.Token = withVersion(s.sheet.Token, m.Version)
	v := web.ReadingView{Sheet: s.sheet, ReadingID: m.ID.String(), Row: s.measurement(m), Instruments: instruments,
		Form: web.MeasureForm{Kind: string(m.Kind), Datum: m.From.String(), State: m.State, To: m.To.String(),
			ToState: m.ToState,
			Value:   figure(m.Value), By: m.By, SurfaceState: m.SurfaceState}}
	if d, err := s.j.Record.Datum(m.From); err == nil && d.Kind == words.Line {
		v.Form.State, v.Form.Value = sideOf(m.Value), figure(math.Abs(m.Value))
	}
	if d, err := s.j.Record.Datum(m.To); err == nil && d.Kind == words.Line {
		v.Form.ToState = leftSide
	}
	for i := range s.j.Record.Datums {
		if d := &s.j.Record.Datums[i]; d.Surface == m.Surface {
			v.Datums = append(v.Datums, s.datumChoice(d))
		}
	}
	v.SurfaceStates = s.surfaceStates(m.Surface)
	return v
}

// Correct takes what was put right, unless somebody else did first.
func (p *Pages) Correct(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	s, old, err := p.onReading(c)
	if err != nil {
		return err
	}
	f.Values.Set("kind", string(old.Kind)) // the form does not ask
	g := f.typed().Amended(old)
	if err = f.err(); err == nil {
		_, err = p.Services.Room.Correct(c.Request().Context(), s.by, s.j.Record.ID, f.version, g)
	}
	return p.taken(c, err, s.at.RoomPage(), "mended", "Mend a reading",
		func(s *scene, status int, faults []fault.Field) error {
			m, err := s.j.Record.Measurement(old.ID)
			if err != nil {
				return err
			}
			v := s.readingView(m)
			v.Form, v.Faults = typedReading(f), onReadingForm(faults)
			return Draw(c, status, web.Reading, v)
		})
}

// Strike strikes a reading out, with the reason.
func (p *Pages) Strike(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	s, old, err := p.onReading(c)
	if err != nil {
		return err
	}
	_, err = p.Services.Room.Strike(c.Request().Context(), s.by, s.j.Record.ID, old.ID, f.version, f.Get("reason"))
	return p.taken(c, err, s.at.RoomPage(), "struck", "Mend a reading",
		func(s *scene, status int, faults []fault.Field) error {
			m, err := s.j.Record.Measurement(old.ID)
			if err != nil {
				return err
			}
			v := s.readingView(m)
			v.Reason, v.Faults = f.Get("reason"), faults
			return Draw(c, status, web.Reading, v)
		})
}
