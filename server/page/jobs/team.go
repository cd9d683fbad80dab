package jobs

import (
	"context"
	"slices"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Team is who is on a job, and the form that names one more on it.
func (p *Pages) Team() kit.Pair {
	return kit.Filled[web.TeamView]{May: firm.MayRunTeams, Page: web.Team, View: p.teamView, Take: p.ontoJob}.Pair()
}

func (p *Pages) teamView(c echo.Context, typed web.Typed) (web.TeamView, error) {
	by := kit.Who(c)
	all, err := p.Firm.Roster(c.Request().Context(), by)
	if err != nil {
		return web.TeamView{}, err
	}
	j, err := p.JobOf(c)
	if err != nil {
		return web.TeamView{}, err
	}
	v := web.TeamView{Sheet: p.Sheet(c, "Who is on the job"), Typed: typed, MayRun: firm.MayRunFirm(by) == nil}
	v.Job = j.Name
	for _, st := range all {
		mayName := st.Role == firm.Trade || st.Role == firm.Client && v.MayRun
		named := slices.Contains(st.Team.Jobs, j.ID)
		row := web.TeamRow{ID: st.ID.String(), Name: st.Name, Does: st.Does(), Named: named &&
			!st.EveryJob}
		row.MayTakeOff = row.Named && mayName
		switch {
		case !st.LeftAt.IsZero() || st.Role == firm.Owner || st.Role == firm.Foreman:
		case named || st.EveryJob:
			v.Rows = append(v.Rows, row)
		case mayName:
			v.Others = append(v.Others, web.Option{Value: row.ID, Label: row.Name + ", " + row.Does})
		}
	}
	v.Next = web.Next{Sentence: words.Capital(kit.CountPeople(len(v.Rows))) +
		" on this job. Add the people who work here, remove those who do not."}
	if len(v.Rows) == 0 {
		v.Next.Sentence = "Nobody is on this job yet. Add the people who work here."
	}
	return v, nil
}

func (p *Pages) ontoJob(c echo.Context, f *kit.Form) (to, said string, err error) {
	j, err := p.JobOf(c)
	if err != nil {
		return "", "", err
	}
	of, err := id.Parse[id.Member](f.Get("person"))
	if err != nil {
		f.Bad("person", "it does not say who", "Choose somebody")
	}
	if err = f.Err(); err == nil {
		err = p.Firm.AddToJob(c.Request().Context(), kit.Who(c), of, j.ID)
	}
	return kit.PlaceOf(c).Team(), "on-team", err
}

// OffJob takes somebody off the job.
func (p *Pages) OffJob(c echo.Context) error {
	if err := firm.MayRunTeams(kit.Who(c)); err != nil {
		return err
	}
	j, err := p.JobOf(c)
	if err != nil {
		return err
	}
	return kit.Press(c, "member", func(ctx context.Context, by firm.Person, of id.Member) error {
		return p.Firm.RemoveFromJob(ctx, by, of, j.ID)
	}, kit.PlaceOf(c).Team(), "off-team")
}
