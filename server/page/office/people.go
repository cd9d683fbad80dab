package office

import (
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// personKinds are what somebody may be, as a form sends it: a role, or a trade
// for the role of one.
var personKinds = func() []web.Option {
	out := kit.Options("owner", "foreman")
	for _, t := range words.Trades {
		if t != words.Foreman && t != words.Client {
			out = append(out, web.Option{Value: string(t), Label: t.String()})
		}
	}
	return append(out, kit.Options("client")...)
}()

// onPerson are the fields of somebody's particulars as their form calls them.
var onPerson = []string{"role", "as", "trade", "as"}

// People is everybody of the firm; the owner may add one, and goes on to the page
// where a sign-in link is made.
func (p *Pages) People() kit.Pair {
	return kit.Filled[web.PeopleView]{Page: web.People, View: p.peopleView, Names: onPerson,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			one, err := particulars(f)
			if err != nil {
				return "", "", err
			}
			st, err := p.Firm.TakeOn(c.Request().Context(), kit.Who(c), kit.NewID[id.Member](f, 0), one)
			return web.PersonPage(st.ID.String()), "taken-on", err
		}}.Pair()
}

func (p *Pages) peopleView(c echo.Context, typed web.Typed) (web.PeopleView, error) {
	by, ctx := kit.Who(c), c.Request().Context()
	all, err := p.Firm.Roster(ctx, by)
	if err != nil {
		return web.PeopleView{}, err
	}
	jobs, err := p.Job.Jobs(ctx, by)
	if err != nil {
		return web.PeopleView{}, err
	}
	v := web.PeopleView{Sheet: p.Sheet(c, "People"), Typed: typed, PersonForm: personForm(jobs),
		MayRun: firm.MayRunFirm(by) == nil}
	for _, st := range all {
		if st.LeftAt.IsZero() {
			v.Rows = append(v.Rows, st)
		} else {
			v.Gone = append(v.Gone, st)
		}
	}
	v.Codes, err = p.Firm.Invitations(ctx, by)
	if err != nil {
		return v, err
	}
	are := " are"
	if len(v.Rows) == 1 {
		are = " is"
	}
	v.Next = web.Next{Sentence: words.Capital(kit.CountPeople(len(v.Rows))) + are +
		" in the firm. Only the owner can add more."}
	if v.MayRun {
		v.Next.Sentence = words.Capital(kit.CountPeople(len(v.Rows))) + are + " in the firm. Open one, or add another."
	}
	return v, nil
}

// personForm is what the form of somebody's particulars offers.
func personForm(jobs []job.Job) web.PersonForm {
	out := web.PersonForm{Kinds: personKinds}
	for _, j := range jobs {
		out.Jobs = append(out.Jobs, web.Option{Value: j.ID.String(), Label: j.Name})
	}
	return out
}

// particulars reads what is said of somebody.
func particulars(f *kit.Form) (firm.Particulars, error) {
	p := firm.Particulars{Name: f.Get("name"), Email: f.Get("email"), Team: firm.Team{EveryJob: f.Get("every_job") != ""}}
	switch as := f.Get("as"); as {
	case string(firm.Owner), string(firm.Foreman), string(firm.Client), "":
		p.Role = firm.Role(as)
	default:
		p.Role, p.Trade = firm.Trade, words.Trade(as)
	}
	for _, text := range f.Values["jobs"] {
		of, err := id.Parse[id.Job](text)
		if err != nil {
			return p, err
		}
		p.Team.Jobs = append(p.Team.Jobs, of)
	}
	if p.Role == "" {
		f.Bad("as", "it does not say what the person does", "Choose a trade or a role")
	}
	return p, nil
}

// TakeBackCode takes a code back that nobody has used, whatever job it was made
// for.
func (p *Pages) TakeBackCode(c echo.Context) error {
	return kit.Press(c, "invitation", p.Firm.RevokeInvitation, web.PeoplePath, "taken-back")
}
