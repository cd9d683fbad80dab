package visits

import (
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
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
	d, err := f.Deed(deed.KindMeasure, "", nil)
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), of, d)
	}
	if err == nil {
		return c.Redirect(http.StatusSeeOther, kit.PlaceOf(c).Measure()+"?last="+f.ReadingID(0).String()+"#gave")
	}
	return p.taken(c, err, "", "", "Measure", func(s *scene, status int, faults []fault.Field) error {
		v := s.measureView(typedReading(f), nil)
		v.Faults = kit.OnForm(deed.Kinds[deed.KindMeasure])(faults)
		return kit.Draw(c, status, web.Measure, v)
	})
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
