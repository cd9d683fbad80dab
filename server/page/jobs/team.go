package jobs

import (
	"net/http"
	"slices"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Team is who is on a job.
func (p *Pages) Team(c echo.Context) error {
	v, err := p.teamView(c)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Team, v)
}

func (p *Pages) teamView(c echo.Context) (web.TeamView, error) {
	by := kit.Who(c)
	all, err := p.Firm.Roster(c.Request().Context(), by)
	if err != nil {
		return web.TeamView{}, err
	}
	j, err := p.JobOf(c)
	if err != nil {
		return web.TeamView{}, err
	}
	v := web.TeamView{Sheet: p.Sheet(c, "Who is on the job"), MayRun: firm.MayRunFirm(by) == nil}
	v.Job = j.Name
	for _, st := range all {
		mayName := st.Role == firm.Trade || st.Role == firm.Client && v.MayRun
		named := slices.Contains(st.Team.Jobs, j.ID)
		row := web.TeamRow{At: v.At, ID: st.ID.String(), Name: st.Name, Does: kit.Named(st.Person).Trade, Named: named &&
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
		" on this job. Put on who works here, take off who does not."}
	if len(v.Rows) == 0 {
		v.Next.Sentence = "Nobody is on this job. Put on who works here."
	}
	return v, nil
}

// OntoJob names somebody on the job.
func (p *Pages) OntoJob(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	if err := firm.MayRunTeams(kit.Who(c)); err != nil {
		return err
	}
	j, err := p.JobOf(c)
	if err != nil {
		return err
	}
	of, err := id.Parse[id.Member](f.Get("person"))
	if err != nil {
		f.Bad("person", "it is not said who", "Choose somebody")
	}
	if err = f.Err(); err == nil {
		err = p.Firm.AddToJob(c.Request().Context(), kit.Who(c), of, j.ID)
	}
	if fields, ok := kit.Mendable(err); ok {
		v, err2 := p.teamView(c)
		if err2 != nil {
			return err2
		}
		v.Faults, v.Other = fields, f.Get("person")
		return kit.Draw(c, kit.MendStatus(err), web.Team, v)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, kit.PlaceOf(c).Team(), "on-team")
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
	of, err := kit.MemberID(c)
	if err == nil {
		err = p.Firm.RemoveFromJob(c.Request().Context(), kit.Who(c), of, j.ID)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, kit.PlaceOf(c).Team(), "off-team")
}
