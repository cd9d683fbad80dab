package programme

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Crews is those who come, with a form for one more.
func (p *Pages) Crews() kit.Pair {
	return kit.Filled[web.CrewsView]{May: firm.MayRunJobs, Page: web.Crews, View: p.crewsView,
		Names: []string{"week", "week"},
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			one, err := crew(f, kit.NewID[id.Crew](f, 0))
			if err == nil {
				one, err = p.Programme.SaveCrew(c.Request().Context(), kit.Who(c), one)
			}
			return web.CrewPage(one.ID.String()), "crew", err
		}}.Pair()
}

func (p *Pages) crewsView(c echo.Context, typed web.Typed) (v web.CrewsView, err error) {
	v = web.CrewsView{Sheet: p.Sheet(c, "Crews"), Typed: typed}
	v.Begins = url.Values{"people": {"1"}}
	got, err := p.Programme.Read(c.Request().Context(), kit.Who(c))
	if err != nil {
		return v, err
	}
	v.Rows = got.Given.Crews
	for _, one := range v.Rows {
		v.Away = append(v.Away, stillAway(got, one.ID)...)
	}
	v.Next = web.Next{Sentence: "Add each crew that comes, your own people and subcontractors."}
	v.CrewForm, err = p.crewForm(c)
	return v, err
}

// crewForm is what the forms of a crew offer.
func (p *Pages) crewForm(c echo.Context) (out web.CrewForm, err error) {
	for _, t := range words.Trades {
		if t != words.Foreman && t != words.Client {
			out.Trades = append(out.Trades, web.Option{Value: string(t), Label: words.Capital(t.String())})
		}
	}
	all, err := p.Firm.Roster(c.Request().Context(), kit.Who(c))
	for _, one := range all {
		if one.Role == firm.Trade && one.LeftAt.IsZero() {
			out.Members = append(out.Members, web.Option{Value: one.ID.String(), Label: one.Name + ", " + one.Does()})
		}
	}
	return out, err
}

// crew reads the form of a crew.
func crew(f *kit.Form, of id.Crew) (out programme.Crew, err error) {
	out = programme.Crew{ID: of, Trade: words.Trade(f.Get("trade")), Name: f.Get("name"), Week: week(f)}
	n, err := strconv.Atoi(f.Get("people"))
	if err != nil {
		f.Bad("people", "the number of people is missing or cannot be read", "Give 1 to 20")
	}
	out.People = n
	if text := f.Get("member"); text != "" {
		if out.Member, err = id.Parse[id.Member](text); err != nil {
			f.Bad("member", "there is no such person", "Choose one of the list, or nobody")
		}
	}
	return out, f.Err()
}

// Crew is one crew's page.
func (p *Pages) Crew() kit.Pair {
	return kit.Filled[web.CrewView]{May: firm.MayRunJobs, Page: web.Crew, View: p.crewView,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			of, err := id.Parse[id.Crew](c.Param("crew"))
			if err != nil {
				return "", "", err
			}
			one, err := crew(f, of)
			if err == nil {
				_, err = p.Programme.SaveCrew(c.Request().Context(), kit.Who(c), one)
			}
			return web.CrewPage(of.String()), "crew", err
		}}.Pair()
}

// CrewAway says when a crew does not come.
func (p *Pages) CrewAway() echo.HandlerFunc {
	return kit.Filled[web.CrewView]{May: firm.MayRunJobs, Page: web.Crew, View: p.crewView,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			a := away(f)
			if a.Crew, err = id.Parse[id.Crew](c.Param("crew")); err != nil {
				return "", "", err
			}
			if err = f.Err(); err == nil {
				_, err = p.Programme.SayAway(c.Request().Context(), kit.Who(c), a)
			}
			return web.CrewPage(a.Crew.String()), "away", err
		}}.Pair().Post
}

func (p *Pages) crewView(c echo.Context, typed web.Typed) (v web.CrewView, err error) {
	v = web.CrewView{Sheet: p.Sheet(c, "Crew"), Typed: typed}
	of, err := id.Parse[id.Crew](c.Param("crew"))
	if err != nil {
		return v, err
	}
	got, err := p.Programme.Read(c.Request().Context(), kit.Who(c))
	if err != nil {
		return v, err
	}
	at := slices.IndexFunc(got.Given.Crews, func(o programme.Crew) bool { return o.ID == of })
	if at < 0 {
		return v, &fault.Error{Kind: fault.NotFound, Msg: "There is no such crew."}
	}
	v.Crew, v.Away = got.Given.Crews[at], stillAway(got, of)
	v.Title = v.Crew.Name
	v.Next = web.Next{Sentence: "Say when " + v.Crew.Name + " can't come, or send a link."}
	v.Begins = url.Values{"name": {v.Crew.Name}, "trade": {string(v.Trade)}, "people": {strconv.Itoa(v.People)},
		"member": {v.Member.String()}, "day": days(v.Crew.Week, [7]bool{})}
	links, err := p.Programme.VisitLinks(c.Request().Context(), kit.Who(c))
	for _, l := range links {
		if l.Crew == of {
			v.LinkMade, v.LinkEnds = l.Made, l.Expires
		}
	}
	if err == nil {
		v.CrewForm, err = p.crewForm(c)
	}
	return v, err
}

// CrewLink makes a crew's private link and shows it this once.
func (p *Pages) CrewLink(c echo.Context) error {
	of, err := id.Parse[id.Crew](c.Param("crew"))
	if err != nil {
		return err
	}
	token, err := p.Programme.CrewLink(c.Request().Context(), kit.Who(c), of)
	if err != nil {
		return err
	}
	v, err := p.crewView(c, web.Typed{})
	if err != nil {
		return err
	}
	v.LinkHref = p.BaseURL + web.VisitsLinkPath + token
	return kit.Secret(c, http.StatusOK, web.Crew, v)
}

// EndCrewLink ends a crew's links.
func (p *Pages) EndCrewLink(c echo.Context) error {
	if _, err := p.crewView(c, web.Typed{}); err != nil { // there is no such crew
		return err
	}
	return kit.Press(c, "crew", func(ctx context.Context, by firm.Person, of id.Crew) error {
		return p.Programme.EndCrewLinks(ctx, by, of)
	}, web.CrewPage(c.Param("crew")), "crew-link-ended")
}

// EndCrew ends a crew.
func (p *Pages) EndCrew(c echo.Context) error {
	return kit.Press(c, "crew", p.Programme.EndCrew, web.CrewsPath, "crew-ended")
}
