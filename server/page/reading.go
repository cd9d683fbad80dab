package page

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
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
	typed := typedReading(f)
	g := readingOf(f, typed)
	if g.Kind == gate.Offset && g.From.IsZero() {
		f.bad("datum", "it does not say from what it was measured", "Choose the datum and the state it was in")
	}
	if g.Kind != gate.Span && g.Of.IsZero() {
		f.bad("position", "it does not say which position was measured", "Choose it")
	}
	g.ID = newID[id.Measurement](f, 0)
	if err = f.err(); err == nil {
		_, err = p.Room.Measure(c.Request().Context(), who(c), of, g)
	}
	if err == nil {
		return c.Redirect(http.StatusSeeOther, PlaceOf(c).Measure()+"?last="+g.ID.String())
	}
	return p.taken(c, err, "", "", "Measure", func(s *scene, status int, faults []fault.Field) error {
		v := s.measureView(typed, nil)
		v.Faults = onReadingForm(faults)
		return Draw(c, status, web.Measure, v)
	})
}

// typedReading is a reading as typed.
func typedReading(f *form) web.MeasureForm {
	out := web.MeasureForm{Kind: f.Get("kind"), Position: f.Get("position"), Value: f.Get("value"), By: f.Get("by"), SurfaceState: f.Get("surface_state")}
	out.Datum, out.State = web.SplitDatum(f.Get("datum"))
	switch out.Kind {
	case string(gate.Span):
		out.To, out.ToState = web.SplitDatum(f.Get("to"))
	case string(gate.Distance):
		out.To = f.Get("to_position")
	}
	return out
}

// readingOf makes a reading of it; an id that cannot be read is none.
func readingOf(f *form, typed web.MeasureForm) room.Reading {
	g := room.Reading{Kind: gate.MeasurementKind(typed.Kind), Value: f.needed("value", "reading"), By: typed.By}
	datum := func(text string) id.Datum {
		d, _ := id.Parse[id.Datum](text)
		return d
	}
	position := func(text string) id.Position {
		q, _ := id.Parse[id.Position](text)
		return q
	}
	if g.Kind != gate.Span {
		g.Of = position(typed.Position)
	}
	if g.Kind == gate.Distance {
		g.ToPosition = position(typed.To)
		return g
	}
	g.From, g.State = datum(typed.Datum), typed.State
	if room.IsSide(g.State) {
		g.Value, g.State = withSide(g.Value, g.State), ""
	}
	if g.Kind == gate.Span {
		g.To, g.ToState = datum(typed.To), typed.ToState
	}
	if room.IsSide(g.ToState) {
		g.ToState = ""
	}
	g.SurfaceState = typed.SurfaceState
	return g
}

// onReadingForm gives the service's faults the fields they are about.
func onReadingForm(faults []fault.Field) []fault.Field {
	return onDatumForm(renamed(faults, "of", "position", "from", "datum", "state", "datum", "to_state", "to"))
}
