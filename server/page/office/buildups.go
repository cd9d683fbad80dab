package office

import (
	"net/http"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// BuildUps are the firm's standard build-ups.
func (p *Pages) BuildUps(c echo.Context) error {
	v, err := p.buildUps(c)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.BuildUps, v)
}

func (p *Pages) buildUps(c echo.Context) (web.BuildUpsView, error) {
	by := kit.Who(c)
	all, err := p.Firm.BuildUps(c.Request().Context(), by)
	if err != nil {
		return web.BuildUpsView{}, err
	}
	v := web.BuildUpsView{Sheet: p.Sheet(c, "Standard build-ups"), MayEdit: firm.MayRunJobs(by) == nil}
	v.Next = web.Next{Sentence: "This is what the firm puts on its walls and ceilings."}
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

// AddBuildUp takes one more.
func (p *Pages) AddBuildUp(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	b := firm.BuildUp{ID: kit.NewID[id.BuildUp](f, 0), Name: f.Get("name"), Layers: f.Layers("layers")}
	if err = f.Err(); err == nil {
		_, err = p.Firm.SaveBuildUp(c.Request().Context(), kit.Who(c), b)
	}
	if fields, ok := kit.Mendable(err); ok {
		v, err2 := p.buildUps(c)
		if err2 != nil {
			return err2
		}
		v.Faults, v.Name, v.Layers = fields, f.Get("name"), f.Get("layers")
		return kit.Draw(c, kit.MendStatus(err), web.BuildUps, v)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.BuildUpsPath, "build-up")
}
