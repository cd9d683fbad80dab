package office

import (
	"net/http"
	"slices"
	"strings"

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

// People is everybody of the firm; the owner may add one.
func (p *Pages) People(c echo.Context) error {
	v, err := p.peopleView(c, nil)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.People, v)
}

func (p *Pages) peopleView(c echo.Context, f *kit.Form) (web.PeopleView, error) {
	by, ctx := kit.Who(c), c.Request().Context()
	all, err := p.Firm.Roster(ctx, by)
	if err != nil {
		return web.PeopleView{}, err
	}
	jobs, err := p.Job.Jobs(ctx, by)
	if err != nil {
		return web.PeopleView{}, err
	}
	v := web.PeopleView{Sheet: p.Sheet(c, "People"), MayRun: firm.MayRunFirm(by) == nil}
	for _, st := range all {
		row := personRow(st, by, jobs)
		if st.LeftAt.IsZero() {
			v.Rows = append(v.Rows, row)
		} else {
			v.Gone = append(v.Gone, row)
		}
	}
	waiting, err := p.Firm.Invitations(ctx, by)
	if err != nil {
		return v, err
	}
	for _, i := range waiting {
		v.Codes = append(v.Codes, web.CodeRow{ID: i.ID.String(), For: kit.InvitedAs(i), By: i.ByName, Printed: i.Printed,
			Ends: i.EndsAt})
	}
	are := " are"
	if len(v.Rows) == 1 {
		are = " is"
	}
	v.Next = web.Next{Sentence: words.Capital(kit.CountPeople(len(v.Rows))) + are + " of the firm. The owner adds more."}
	if v.MayRun {
		v.Next.Sentence = words.Capital(kit.CountPeople(len(v.Rows))) + are + " of the firm. Look at one, or add one."
		v.Form = typedPerson(f, jobs)
	}
	return v, nil
}

// personRow is a member as lists show them.
func personRow(st firm.Profile, by firm.Person, jobs []job.Job) web.PersonRow {
	return web.PersonRow{ID: st.ID.String(), Name: st.Name, Does: kit.Named(st.Person).Trade, On: onJobs(st, jobs),
		Email: st.Email,
		Since: st.CreatedAt, Left: st.LeftAt, Self: st.ID == by.ID}
}

// onJobs says which jobs somebody sees: "every job", "Mill Loft and 14 Quarry Lane".
func onJobs(st firm.Profile, jobs []job.Job) string {
	if st.EveryJob || st.Role == firm.Owner || st.Role == firm.Foreman {
		return "every job"
	}
	var names []string
	for _, j := range jobs {
		if slices.Contains(st.Team.Jobs, j.ID) {
			names = append(names, j.Name)
		}
	}
	switch n := len(names); n {
	case 0:
		return "no job"
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// typedPerson is what was typed of somebody; empty where nothing was.
func typedPerson(f *kit.Form, jobs []job.Job) web.PersonForm {
	out := web.PersonForm{Kinds: personKinds}
	if f != nil {
		out.Name, out.As, out.Email, out.EveryJob = f.Get("name"), f.Get("as"), f.Get("email"), f.Get("every_job") != ""
	}
	for _, j := range jobs {
		out.Jobs = append(out.Jobs, web.JobTick{ID: j.ID.String(), Name: j.Name, On: f != nil &&
			slices.Contains(f.Values["jobs"], j.ID.String())})
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
		f.Bad("as", "it is not said what the person does", "Choose it")
	}
	return p, nil
}

// AddPerson takes somebody on and leads to the member's page, where a way in is made.
func (p *Pages) AddPerson(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	said, err := particulars(f)
	if err != nil {
		return err
	}
	st, err := p.Firm.TakeOn(c.Request().Context(), kit.Who(c), kit.NewID[id.Member](f, 0), said)
	if fields, ok := kit.Mendable(err); ok {
		v, err2 := p.peopleView(c, f)
		if err2 != nil {
			return err2
		}
		v.Faults = kit.Renamed(fields, "role", "as", "trade", "as")
		return kit.Draw(c, kit.MendStatus(err), web.People, v)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.PersonPage(st.ID.String()), "taken-on")
}

// TakeBackCode takes a code back that nobody has used, whatever job it was made
// for.
func (p *Pages) TakeBackCode(c echo.Context) error {
	of, err := id.Parse[id.Invitation](c.Param("invitation"))
	if err == nil {
		err = p.Firm.RevokeInvitation(c.Request().Context(), kit.Who(c), of)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.PeoplePath, "taken-back")
}
