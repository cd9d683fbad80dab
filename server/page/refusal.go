package page

import (
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Refusal is the page for an obstacle: what is missing, where, and the way out.
func (p *Pages) Refusal(c echo.Context, f *fault.Error) web.RefusalView {
	at := PlaceOf(c)
	back := WayBack(at)
	v := web.RefusalView{Sheet: p.Sheet(c, "Not yet"), Says: f.Msg, Back: back.Href}
	for _, field := range f.Fields {
		row := web.ObstacleRow{About: field.Path, Wrong: field.Wrong, Mend: field.Mend}
		row.Act, row.Href = wayOut(at, field.Path)
		v.Obstacles = append(v.Obstacles, row)
	}
	v.Next = back
	if len(v.Obstacles) > 0 && v.Obstacles[0].Href != "" {
		v.Next = web.Next{Sentence: v.Obstacles[0].Mend + ".", Action: v.Obstacles[0].Act, Href: v.Obstacles[0].Href}
	}
	return v
}

// wayOut leads to where an obstacle is mended. about is "kind/id", as faults
// of the gates have it; the id of a layer is "datum/layer".
func wayOut(at web.Place, about string) (act, href string) {
	kind, id, _ := strings.Cut(about, "/")
	switch gate.Kind(kind) {
	case gate.KindPosition:
		return "Measure it", at.MeasureAt(id)
	case gate.KindMeasurement:
		return "Look at the measurements", at.RoomPage()
	case gate.KindDatum:
		return "Plan its build-up", at.BuildUp(id)
	case gate.KindLayer:
		return "Record it as put on", at.AsBuilt()
	case gate.KindPlaster:
		return "Give the day", at.Finished()
	case gate.KindFirstHole:
		return "Open the first hole", at.SetOut()
	case gate.KindOpening:
		return "See to the patches", at.Patches()
	case gate.KindSnag:
		return "See to the snags", at.Snags()
	case gate.KindSurface:
		return "Say that a photo was taken", at.Tails()
	}
	return "", ""
}
