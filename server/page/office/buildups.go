package office

import (
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// BuildUps are the firm's standard build-ups, with the form for one more.
func (p *Pages) BuildUps() kit.Pair {
	return kit.Filled[web.BuildUpsView]{Page: web.BuildUps, View: p.buildUps,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			b := firm.BuildUp{ID: kit.NewID[id.BuildUp](f, 0), Name: f.Get("name"), Layers: f.Layers("layers")}
			if err = f.Err(); err == nil {
				_, err = p.Firm.SaveBuildUp(c.Request().Context(), kit.Who(c), b)
			}
			return web.BuildUpsPath, "build-up", err
		}}.Pair()
}

func (p *Pages) buildUps(c echo.Context, typed web.Typed) (web.BuildUpsView, error) {
	by := kit.Who(c)
	all, err := p.Firm.BuildUps(c.Request().Context(), by)
	if err != nil {
		return web.BuildUpsView{}, err
	}
	v := web.BuildUpsView{Sheet: p.Sheet(c, "Standard build-ups"), Typed: typed, MayEdit: firm.MayRunJobs(by) == nil}
	v.Next = web.Next{Sentence: "The layers the firm puts on its walls and ceilings."}
	if v.MayEdit {
		v.Next.Sentence = "Write down what your firm puts on a face; a room's planning takes it from here."
	}
	for _, b := range all {
		row := web.StandardRow{Name: b.Name}
		for _, l := range b.Layers {
			row.Layers = append(row.Layers, web.LayerRow{Name: l.Name, Stage: l.Stage.String(), Planned: l.Thickness})
			row.Total += l.Thickness
		}
		v.Rows = append(v.Rows, row)
	}
	return v, nil
}
