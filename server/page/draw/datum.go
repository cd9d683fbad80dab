package draw

import (
	"net/http"
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
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
	s, on, err := kit.On(c, p.scene, "A new datum", "surface", (*room.Record).Surface)
	if err != nil {
		return err
	}
	v := datumForm(s, on)
	v.Form.Kind = string(words.Line)
	return kit.Draw(c, http.StatusOK, web.Datum, v)
}

func datumForm(s *scene, on *room.Surface) web.DatumFormView {
	s.Say("Where you can, measure from what no layer will cover.")
	return web.DatumFormView{Sheet: s.Sheet, SurfaceID: on.ID.String(), SurfaceName: words.Capital(on.Name),
		Kinds: datumKinds}
}

// AddDatum takes it.
func (p *Pages) AddDatum(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, surface, err := kit.InRoom[id.Surface](c, "surface")
	if err != nil {
		return err
	}
	d := datumOf(f, surface)
	if err = f.Err(); err == nil {
		_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), of, deed.AddDatum{Datum: d})
	}
	return p.taken(c, err, kit.PlaceOf(c).RoomPage(), "datum", "A new datum",
		func(s *scene, status int, faults []fault.Field) error {
			on, err := s.J.Record.Surface(surface)
			if err != nil {
				return err
			}
			v := datumForm(s, on)
			v.Faults, v.Form = kit.OnDatumForm(faults), typedDatum(f)
			return kit.Draw(c, status, web.Datum, v)
		})
}

func datumOf(f *kit.Form, surface id.Surface) room.Datum {
	d := room.Datum{ID: kit.NewID[id.Datum](f, 0), Surface: surface, Name: f.Get("name"),
		Kind:  words.DatumKind(f.Get("kind")),
		Sigma: f.Number("sigma")}
	if d.Name == "" {
		f.Bad("name", "the datum has no name", "Call it what you would shout across the room")
	}
	place := func(field, mend string) roomsheet.Point {
		if p := f.Point(field); p != nil {
			return *p
		}
		f.Bad(field, "there is no place", mend)
		return roomsheet.Point{}
	}
	switch d.Kind {
	case words.Point:
		d.A = place("point", "Measure it along and up the sheet: 3300 2100")
		d.B = d.A
	case words.Face, words.Line:
		d.A, d.B = place("from", "Give where it begins: 0 0"), place("to", "Give where it ends: 3600 0")
	default:
		f.Bad("kind", "it does not say what it is", "Choose face, fixed line or fixed point")
	}
	if d.Kind == words.Face {
		d.Lean, d.StaysBare = f.Number("lean"), f.Get("stays_bare") != ""
	}
	return d
}

func typedDatum(f *kit.Form) web.DatumForm {
	return web.DatumForm{Name: f.Get("name"), Kind: f.Get("kind"), From: f.Get("from"), To: f.Get("to"),
		Point: f.Get("point"),
		Sigma: f.Get("sigma"), Lean: f.Get("lean"), StaysBare: f.Get("stays_bare") != ""}
}

// Datum is the form of one that is there: whether it stays bare can be changed.
func (p *Pages) Datum(c echo.Context) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	s, d, err := kit.On(c, p.scene, "Datum", "datum", (*room.Record).Datum)
	if err != nil {
		return err
	}
	return p.drawDatum(c, s, d, http.StatusOK, nil)
}

func (p *Pages) drawDatum(c echo.Context, s *scene, d *room.Datum, status int, faults []fault.Field) error {
	on, err := s.J.Record.Surface(d.Surface)
	if err != nil {
		return err
	}
	v := datumForm(s, on)
	v.Sheet.Title, v.DatumID, v.Faults = words.Capital(d.Called()), d.ID.String(), faults
	v.MayRemove = s.Open(gate.PartDatum) && !slices.ContainsFunc(s.J.Record.Measurements, func(m room.Measurement) bool {
		return m.From == d.ID || m.To == d.ID
	})
	v.Sheet.Next = web.Next{Sentence: "Say whether anything will go on it. What was drawn of it stays: readings stand " +
		"on it."}
	v.Form = web.DatumForm{Name: d.Name, Kind: string(d.Kind), Sigma: kit.Figure(d.Sigma), Lean: kit.Figure(d.Lean),
		StaysBare: d.StaysBare}
	if d.Kind == words.Point {
		v.Form.Point = kit.PointText(d.A)
	} else {
		v.Form.From, v.Form.To = kit.PointText(d.A), kit.PointText(d.B)
	}
	return kit.Draw(c, status, web.Datum, v)
}

// ChangeDatum takes whether a face stays bare.
func (p *Pages) ChangeDatum(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, datum, err := kit.InRoom[id.Datum](c, "datum")
	if err != nil {
		return err
	}
	_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), of,
		deed.StaysBare{Datum: datum, Stays: f.Get("stays_bare") != ""})
	return p.taken(c, err, kit.PlaceOf(c).RoomPage(), "datum-changed", "Datum",
		func(s *scene, status int, faults []fault.Field) error {
			d, err := s.J.Record.Datum(datum)
			if err != nil {
				return err
			}
			return p.drawDatum(c, s, d, status, faults)
		})
}

// RemoveDatum takes a datum out that nothing was measured from.
func (p *Pages) RemoveDatum(c echo.Context) error {
	of, datum, err := kit.InRoom[id.Datum](c, "datum")
	if err != nil {
		return err
	}
	if _, err := p.Desk.Do(c.Request().Context(), kit.Who(c), of, deed.RemoveDatum{Datum: datum}); err != nil {
		return err
	}
	return kit.SeeOther(c, kit.PlaceOf(c).RoomPage(), "datum-off")
}
