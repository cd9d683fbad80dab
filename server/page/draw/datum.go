package draw

import (
	"net/url"
	"slices"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/gate"
	"lathmark/domain/room"
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
func (p *Pages) NewDatum() kit.Pair {
	return pair(p, form[web.DatumFormView]{of: deed.Kinds[deed.KindAddDatum], page: web.Datum, title: "A new datum",
		param: "surface", view: (*scene).newDatum, to: toRoom})
}

func (s *scene) newDatum(surface string, typed web.Typed) (v web.DatumFormView, err error) {
	on, err := deed.ByID(s.J.Record.Surface, surface)
	if err != nil {
		return v, err
	}
	s.Say("Where you can, measure from what no layer will cover.")
	typed.Begins = url.Values{"kind": {string(words.Line)}}
	return web.DatumFormView{Sheet: s.Sheet, Typed: typed, SurfaceID: surface, SurfaceName: words.Capital(on.Name),
		Kinds: datumKinds}, nil
}

// Datum is the form of one that is there: whether it stays bare can be changed.
func (p *Pages) Datum() kit.Pair {
	return pair(p, form[web.DatumFormView]{of: deed.Kinds[deed.KindStaysBare], page: web.Datum, title: "Datum",
		param: "datum", view: (*scene).datumForm, to: toRoom})
}

func (s *scene) datumForm(datum string, typed web.Typed) (v web.DatumFormView, err error) {
	d, err := deed.ByID(s.J.Record.Datum, datum)
	if err != nil {
		return v, err
	}
	if v, err = s.newDatum(d.Surface.String(), typed); err != nil {
		return v, err
	}
	v.Title, v.DatumID = words.Capital(d.Called()), datum
	v.MayRemove = s.Open(gate.PartDatum) && !slices.ContainsFunc(s.J.Record.Measurements, func(m room.Measurement) bool {
		return m.From == d.ID || m.To == d.ID
	})
	v.Next = web.Next{Sentence: "Say whether anything will go on it. What was drawn of it stays: readings stand on it."}
	v.Begins = url.Values{"name": {d.Name}, "kind": {string(d.Kind)}, "sigma": {kit.Figure(d.Sigma)},
		"lean": {kit.Figure(d.Lean)}, "stays_bare": tick(d.StaysBare)}
	if d.Kind == words.Point {
		v.Begins.Set("point", kit.PointText(d.A))
	} else {
		v.Begins.Set("from", kit.PointText(d.A))
		v.Begins.Set("to", kit.PointText(d.B))
	}
	return v, nil
}

// RemoveDatum takes a datum out that nothing was measured from.
func (p *Pages) RemoveDatum(c echo.Context) error {
	return p.press(c, deed.KindRemoveDatum, "datum", (*scene).room)
}

// BuildUp is the form of what will go on one face: layers, or that it stays bare.
func (p *Pages) BuildUp() kit.Pair {
	return pair(p, form[web.BuildUpFormView]{of: &deed.BuildUpSort, page: web.BuildUp, title: "Build-up",
		param: "datum", standards: true, view: (*scene).buildUp, to: toRoom})
}

func (s *scene) buildUp(datum string, typed web.Typed) (v web.BuildUpFormView, err error) {
	d, err := deed.ByID(s.J.Record.Datum, datum)
	if err != nil {
		return v, err
	}
	var others []string
	for _, o := range deed.Unplanned(s.J.Record, d) {
		others = append(others, o.Called())
	}
	s.Say("Say what will go on " + words.InWords(d.Called()) + ", in the order it goes on.")
	typed.Begins = url.Values{"layers": {kit.LayersText(s.J.Record.LayersOf(d.Surface, d.ID))},
		"stays_bare": tick(d.StaysBare)}
	v.Sheet, v.Typed, v.DatumID, v.DatumName = s.Sheet, typed, datum, d.Called()
	v.AlsoOn = s.J.Record.AlsoOn(room.Appearance{Surface: d.Surface, Datum: d.ID})
	v.Standards, v.Others = s.buildUps(), strings.Join(others, ", ")
	return v, nil
}
