package page

import (
	"net/http"
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

var datumKinds = []web.Option{
	{Value: string(words.Face), Label: "A face: layers may cover it"},
	{Value: string(words.Line), Label: "A fixed line: a steel, a laser line"},
	{Value: string(words.Point), Label: "A fixed point: a stack, a pin"},
}

// NewDatum is the form for one more datum of a surface.
func (p *Pages) NewDatum(c echo.Context) error {
	s, on, err := p.onSurface(c, "A new datum")
	if err != nil {
		return err
	}
	v := datumForm(s, on)
	v.Form.Kind = string(words.Line)
	return Draw(c, http.StatusOK, web.Datum, v)
}

func datumForm(s *scene, on *room.Surface) web.DatumFormView {
	s.say("Where you can, measure from what no layer will cover.")
	return web.DatumFormView{Sheet: s.sheet, SurfaceID: on.ID.String(), SurfaceName: words.Capital(on.Name), Kinds: datumKinds}
}

// AddDatum takes it.
func (p *Pages) AddDatum(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, surface, err := inRoom[id.Surface](c, "surface")
	if err != nil {
		return err
	}
	d := datumOf(f, surface)
	if err = f.err(); err == nil {
		_, err = p.Room.AddDatum(c.Request().Context(), who(c), of, d)
	}
	return p.taken(c, err, PlaceOf(c).RoomPage(), "datum", "A new datum",
		func(s *scene, status int, faults []fault.Field) error {
			on, err := s.j.Record.Surface(surface)
			if err != nil {
				return err
			}
			v := datumForm(s, on)
			v.Faults, v.Form = onDatumForm(faults), typedDatum(f)
			return Draw(c, status, web.Datum, v)
		})
}

func datumOf(f *form, surface id.Surface) room.Datum {
	d := room.Datum{ID: newID[id.Datum](f, 0), Surface: surface, Name: f.Get("name"), Kind: words.DatumKind(f.Get("kind")),
		Sigma: f.number("sigma")}
	if d.Name == "" {
		f.bad("name", "the datum has no name", "Call it what you would shout across the room")
	}
	place := func(field, mend string) roomsheet.Point {
		if p := f.point(field); p != nil {
			return *p
		}
		f.bad(field, "there is no place", mend)
		return roomsheet.Point{}
	}
	switch d.Kind {
	case words.Point:
		d.A = place("point", "Measure it along and up the sheet: 3300 2100")
		d.B = d.A
	case words.Face, words.Line:
		d.A, d.B = place("from", "Give where it begins: 0 0"), place("to", "Give where it ends: 3600 0")
	default:
		f.bad("kind", "it does not say what it is", "Choose face, fixed line or fixed point")
	}
	if d.Kind == words.Face {
		d.Lean, d.StaysBare = f.number("lean"), f.Get("stays_bare") != ""
	}
	return d
}

// onDatumForm returns faults of the room sheet's check the field they are about.
func onDatumForm(faults []fault.Field) []fault.Field {
	out := renamed(faults)
	for i := range out {
		if len(out[i].Path) > 0 && out[i].Path[0] == '$' {
			out[i].Path = ""
		}
	}
	return out
}

func typedDatum(f *form) web.DatumForm {
	return web.DatumForm{Name: f.Get("name"), Kind: f.Get("kind"), From: f.Get("from"), To: f.Get("to"),
		Point: f.Get("point"),
		Sigma: f.Get("sigma"), Lean: f.Get("lean"), StaysBare: f.Get("stays_bare") != ""}
}

// Datum is the form of one that is there: whether it stays bare can be changed.
func (p *Pages) Datum(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	s, d, err := p.onDatum(c, "Datum")
	if err != nil {
		return err
	}
	return p.drawDatum(c, s, d, http.StatusOK, nil)
}

// onDatum reads the room and finds the datum that the address names.
func (p *Pages) onDatum(c echo.Context, title string) (*scene, *room.Datum, error) {
	s, err := p.scene(c, title)
	if err != nil {
		return nil, nil, err
	}
	of, err := id.Parse[id.Datum](c.Param("datum"))
	if err != nil {
		return nil, nil, err
	}
	d, err := s.j.Record.Datum(of)
	return s, d, err
}

func (p *Pages) drawDatum(c echo.Context, s *scene, d *room.Datum, status int, faults []fault.Field) error {
	on, err := s.j.Record.Surface(d.Surface)
	if err != nil {
		return err
	}
	v := datumForm(s, on)
	v.Sheet.Title, v.DatumID, v.Faults = words.Capital(datumName(d)), d.ID.String(), faults
	v.MayRemove = s.open(gate.PartDatum) && !slices.ContainsFunc(s.j.Record.Measurements, func(m room.Measurement) bool {
		return m.From == d.ID || m.To == d.ID
	})
	v.Sheet.Next = web.Next{Sentence: "Say whether anything will go on it. What was drawn of it stays: readings stand " +
		"on it."}
	v.Form = web.DatumForm{Name: d.Name, Kind: string(d.Kind), Sigma: figure(d.Sigma), Lean: figure(d.Lean),
		StaysBare: d.StaysBare}
	if d.Kind == words.Point {
		v.Form.Point = pointText(d.A)
	} else {
		v.Form.From, v.Form.To = pointText(d.A), pointText(d.B)
	}
	return Draw(c, status, web.Datum, v)
}

// ChangeDatum takes whether a face stays bare.
func (p *Pages) ChangeDatum(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, datum, err := inRoom[id.Datum](c, "datum")
	if err != nil {
		return err
	}
	_, err = p.Room.SetStaysBare(c.Request().Context(), who(c), of, datum, f.Get("stays_bare") != "")
	return p.taken(c, err, PlaceOf(c).RoomPage(), "datum-changed", "Datum",
		func(s *scene, status int, faults []fault.Field) error {
			d, err := s.j.Record.Datum(datum)
			if err != nil {
				return err
			}
			return p.drawDatum(c, s, d, status, faults)
		})
}

// RemoveDatum takes a datum out that nothing was measured from.
func (p *Pages) RemoveDatum(c echo.Context) error {
	of, datum, err := inRoom[id.Datum](c, "datum")
	if err != nil {
		return err
	}
	if _, err := p.Room.RemoveDatum(c.Request().Context(), who(c), of, datum); err != nil {
		return err
	}
	return seeOther(c, PlaceOf(c).RoomPage(), "datum-off")
}
