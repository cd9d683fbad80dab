package programme

import (
	"net/http"
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Mine is a trade's next weeks.
func (p *Pages) Mine(c echo.Context) error {
	if firm.MayRunJobs(kit.Who(c)) == nil {
		return c.Redirect(http.StatusSeeOther, web.ProgrammePath)
	}
	v, err := p.mineView(c, web.Typed{})
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Mine, v)
}

func (p *Pages) mineView(c echo.Context, typed web.Typed) (web.MineView, error) {
	if err := firm.MayRecord(kit.Who(c)); err != nil {
		return web.MineView{}, err
	}
	got, err := p.Programme.Read(c.Request().Context(), kit.Who(c))
	v := mine(got, p.Sheet(c, "My next weeks"), typed)
	v.ComeHref, v.CantHref, v.BackHref = web.ComingPath, web.CantPath, web.BackPath
	return v, err
}

// mine is what a crew reads of a programme.
func mine(got programme.View, s web.Sheet, typed web.Typed) web.MineView {
	v := web.MineView{Sheet: s, Typed: typed, Crews: got.Own}
	for _, one := range got.Own {
		v.Away = append(v.Away, stillAway(got, one.ID)...)
	}
	v.Coming = func(visit programme.Visit) bool {
		return slices.ContainsFunc(got.Given.Coming, func(o programme.Coming) bool {
			return o.Crew == visit.Crew && o.Job == visit.Job && o.On.Equal(visit.From)
		})
	}
	v.Next = web.Next{Sentence: "The programme is being worked out."}
	if got.Programme == nil {
		return v
	}
	v.Made, v.Weeks = got.Programme.Made, web.WeeksOf(got.Programme.Visits)
	v.Next.Sentence = "Nobody needs you on site as things are."
	if len(got.Programme.Visits) > 0 {
		first := got.Programme.Visits[0]
		v.Next.Sentence = "Next: " + first.JobName + ", " + web.Span(first.From, first.To) + "."
	}
	return v
}

// coming reads the form that says that a crew will be there.
func coming(f *kit.Form) (out programme.Coming, err error) {
	if out.Crew, err = id.Parse[id.Crew](f.Get("crew")); err != nil {
		return out, err
	}
	if out.Job, err = id.Parse[id.Job](f.Get("job")); err != nil {
		return out, err
	}
	out.On = day(f, "on")
	return out, f.Err()
}

// Come says that one will be there.
func (p *Pages) Come(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	said, err := coming(f)
	if err == nil {
		err = p.Programme.WillCome(c.Request().Context(), kit.Who(c), said)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.NextWeeks, "coming")
}

// Cant says on which days one can't come.
func (p *Pages) Cant() echo.HandlerFunc {
	return kit.Filled[web.MineView]{Page: web.Mine, View: p.mineView,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			got, err := p.Programme.Read(c.Request().Context(), kit.Who(c))
			if err != nil {
				return "", "", err
			}
			a := away(f)
			a.Crew = ownCrew(f, got.Own)
			if err = f.Err(); err == nil {
				_, err = p.Programme.SayAway(c.Request().Context(), kit.Who(c), a)
			}
			return web.NextWeeks, "away", err
		}}.Pair().Post
}

// ownCrew is the crew that is chosen, or the only one that there is.
func ownCrew(f *kit.Form, own []programme.Crew) id.Crew {
	if len(own) == 1 {
		return own[0].ID
	}
	of, err := id.Parse[id.Crew](f.Get("crew"))
	if err != nil {
		f.Bad("crew", "no crew is chosen", "Choose one of the list")
	}
	return of
}

// Back takes an absence back.
func (p *Pages) Back(c echo.Context) error {
	return p.pressAway(c, func(of id.Away) error {
		return p.Programme.BackAgain(c.Request().Context(), kit.Who(c), of)
	}, web.NextWeeks)
}

func (p *Pages) pressAway(c echo.Context, do func(id.Away) error, to string) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := id.Parse[id.Away](f.Get("away"))
	if err == nil {
		err = do(of)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, to, "back-again")
}

// ByLink is a crew's next weeks, for whoever has its private link.
func (p *Pages) ByLink(c echo.Context) error { return p.byLink(c, http.StatusOK, web.Typed{}) }

func (p *Pages) byLink(c echo.Context, status int, typed web.Typed) error {
	token := c.Param("link")
	got, l, err := p.Programme.ReadLink(c.Request().Context(), token)
	if err == nil && l.Crew.IsZero() { // a calendar's address is for that alone
		err = &fault.Error{Kind: fault.NotFound, Msg: "This link no longer works. Ask for a new one."}
	}
	if err != nil {
		return err
	}
	s := web.Sheet{Token: p.Looker(c).Sheet("").Token, Title: "Your next weeks", Firm: got.Firm.Name, Date: p.Now(),
		Zone: got.Firm.Zone, Done: kit.Done(c.QueryParam("done"))}
	v := mine(got, s, typed)
	at := web.VisitsLinkPath + token
	v.ComeHref, v.CantHref, v.BackHref, v.Link = at+"/coming", at+"/away", at+"/back", true
	return kit.Secret(c, status, web.Mine, v)
}

// ComeByLink is Come for whoever has a crew's link.
func (p *Pages) ComeByLink(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	said, err := coming(f)
	if err == nil {
		err = p.Programme.WillComeByLink(c.Request().Context(), c.Param("link"), said)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.VisitsLinkPath+c.Param("link"), "coming")
}

// CantByLink is Cant for whoever has a crew's link.
func (p *Pages) CantByLink(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	a := away(f)
	if err = f.Err(); err == nil {
		err = p.Programme.AwayByLink(c.Request().Context(), c.Param("link"), a)
	}
	if fields, ok := kit.Mendable(err); ok {
		return p.byLink(c, kit.MendStatus(err), web.Typed{Faults: fields, Sent: f.Values})
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.VisitsLinkPath+c.Param("link"), "away")
}

// BackByLink is Back for whoever has a crew's link.
func (p *Pages) BackByLink(c echo.Context) error {
	return p.pressAway(c, func(of id.Away) error {
		return p.Programme.BackByLink(c.Request().Context(), c.Param("link"), of)
	}, web.VisitsLinkPath+c.Param("link"))
}
