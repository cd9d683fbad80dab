package kit

import (
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Refusal is the page for an obstacle: what is missing, where, and the way out.
func (p *House) Refusal(c echo.Context, f *fault.Error) web.RefusalView {
	at := PlaceOf(c)
	back := WayBack(at)
	v := web.RefusalView{Sheet: p.Sheet(c, "Not yet"), Says: f.Msg, Back: back.Href}
	for _, field := range f.Fields {
		row := web.ObstacleRow{About: field.Path, Wrong: field.Wrong, Mend: field.Mend}
		if !strings.HasPrefix(field.Path, string(gate.KindDatum)+"/") || firm.MayRunJobs(Who(c)) == nil {
			row.Act, row.Href = wayOut(at, field.Path)
		}
		v.Obstacles = append(v.Obstacles, row)
	}
	v.Next = back
	if len(v.Obstacles) > 0 && v.Obstacles[0].Href != "" {
		v.Next = web.Next{Sentence: v.Obstacles[0].Mend + ".", Action: v.Obstacles[0].Act, Href: v.Obstacles[0].Href}
	}
	return v
}
