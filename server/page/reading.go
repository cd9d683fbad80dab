package page

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/visit"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Record takes a measurement.
func (p *Pages) Record(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := roomID(c)
	if err != nil {
		return err
	}
	g := f.newReading().Reading
	if err = f.err(); err == nil {
		_, err = p.Room.Measure(c.Request().Context(), who(c), of, g)
	}
	if err == nil {
		return c.Redirect(http.StatusSeeOther, PlaceOf(c).Measure()+"?last="+g.ID.String()+"#gave")
	}
	return p.taken(c, err, "", "", "Measure", func(s *scene, status int, faults []fault.Field) error {
		v := s.measureView(typedReading(f), nil)
		v.Faults = onReadingForm(faults)
		return Draw(c, status, web.Measure, v)
	})
}

// newReading reads the form for a measurement.
func (f *form) newReading() visit.Measure {
	g := f.typed().NewReading()
	g.ID = newID[id.Measurement](f, 0)
	return visit.Measure{Reading: g}
}

// typedReading is a reading as typed, to be shown again.
func typedReading(f *form) web.MeasureForm {
	out := web.MeasureForm{Kind: f.Get("kind"), Position: f.Get("position"), Value: f.Get("value"), By: f.Get("by"),
		SurfaceState: f.Get("surface_state")}
	out.Datum, out.State = web.SplitDatum(f.Get("datum"))
	switch out.Kind {
	case string(words.Span):
		out.To, out.ToState = web.SplitDatum(f.Get("to"))
	case string(words.Distance):
		out.To = f.Get("to_position")
	}
	return out
}

// onReadingForm returns the service's faults the fields they are about.
func onReadingForm(faults []fault.Field) []fault.Field {
	return onDatumForm(renamed(faults, "of", "position", "from", "datum", "state", "datum", "to_state", "to"))
}
