package visits

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/visit"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Record takes a measurement.
func (p *Pages) Record(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	g := NewReading(f).Reading
	if err = f.Err(); err == nil {
		_, err = p.Room.Measure(c.Request().Context(), kit.Who(c), of, g)
	}
	if err == nil {
		return c.Redirect(http.StatusSeeOther, kit.PlaceOf(c).Measure()+"?last="+g.ID.String()+"#gave")
	}
	return p.taken(c, err, "", "", "Measure", func(s *scene, status int, faults []fault.Field) error {
		v := s.measureView(typedReading(f), nil)
		v.Faults = OnReadingForm(faults)
		return kit.Draw(c, status, web.Measure, v)
	})
}

// NewReading reads the form for a measurement.
func NewReading(f *kit.Form) visit.Measure {
	g := f.Reader().NewReading()
	g.ID = kit.NewID[id.Measurement](f, 0)
	return visit.Measure{Reading: g}
}

// typedReading is a reading as typed, to be shown again.
func typedReading(f *kit.Form) web.MeasureForm {
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

// OnReadingForm returns the service's faults the fields they are about.
func OnReadingForm(faults []fault.Field) []fault.Field {
	return kit.OnDatumForm(kit.Renamed(faults, "of", "position", "from", "datum", "state", "datum", "to_state", "to"))
}
