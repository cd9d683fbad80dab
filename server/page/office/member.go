package office

import (
	"context"
	"net/http"
	"net/url"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/subjectdata"
	"lathmark/domain/words"
	"lathmark/server/auth"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Member is one of the firm with their sessions and links, for the owner, and the form of
// their details. Where somebody else changed it first, both records are shown.
func (p *Pages) Member() kit.Pair {
	return kit.Filled[web.MemberView]{Page: web.Member, View: p.memberView, Take: p.changePerson, Names: onPerson}.Pair()
}

// standing reads the member that the address names, and the firm's jobs.
func (p *Pages) standing(c echo.Context) (firm.Profile, []job.Job, error) {
	of, err := kit.MemberID(c)
	if err != nil {
		return firm.Profile{}, nil, err
	}
	st, err := p.Firm.Profile(c.Request().Context(), kit.Who(c), of)
	if err != nil {
		return firm.Profile{}, nil, err
	}
	jobs, err := p.Job.Jobs(c.Request().Context(), kit.Who(c))
	return st, jobs, err
}

func (p *Pages) memberView(c echo.Context, typed web.Typed) (web.MemberView, error) {
	st, jobs, err := p.standing(c)
	if err != nil {
		return web.MemberView{}, err
	}
	by, _ := auth.Who(c)
	v := web.MemberView{Sheet: p.Sheet(c, st.Name), Typed: typed, PersonForm: personForm(jobs), Of: st,
		Way: web.PersonAt(st.ID.String()), Self: st.ID == by.Person.ID, Here: by.Session.ID,
		Changed: c.QueryParam("done") == "email-changed" && len(st.Sessions) > 1,
		Lasts:   lasts(st.LinkLasts()), Forgotten: st.Name == subjectdata.NameFor(st.ID)}
	v.Begins = formOf(st)
	v.Token = kit.WithVersion(v.Token, st.Version())
	for _, i := range st.KnownBy {
		v.KnownBy = append(v.KnownBy, hostOf(i.Issuer))
	}
	v.Next = web.Next{Sentence: memberNext(v)}
	return v, nil
}

func memberNext(v web.MemberView) string {
	switch name := v.Of.Name; {
	case !v.Of.LeftAt.IsZero():
		return name + " has left the firm."
	case v.Self:
		return "These are your own details."
	case len(v.Of.Sessions) == 0:
		return name + " is not signed in anywhere. Make a one-time link so that " + name + " can sign in."
	default:
		return name + " is signed in on " + words.Count(len(v.Of.Sessions), "device") +
			". Change the details, or stop a way of " +
			"signing in."
	}
}

// hostOf is a provider as people know it; an address without a host stays what
// it is.
func hostOf(issuer string) string {
	if u, err := url.Parse(issuer); err == nil && u.Host != "" {
		return u.Host
	}
	return issuer
}

// formOf is what is on record of somebody, as it is typed.
func formOf(st firm.Profile) url.Values {
	f := url.Values{"name": {st.Name}, "email": {st.Email}, "as": {string(st.Role)}}
	if st.Role == firm.Trade {
		f.Set("as", string(st.Trade))
	}
	if st.EveryJob {
		f.Set("every_job", "yes")
	}
	for _, j := range st.Team.Jobs {
		f.Add("jobs", j.String())
	}
	return f
}

// changePerson takes what is said of somebody.
func (p *Pages) changePerson(c echo.Context, f *kit.Form) (to, said string, err error) {
	of, err := kit.MemberID(c)
	if err != nil {
		return "", "", err
	}
	one, err := particulars(f)
	if err != nil {
		return "", "", err
	}
	was, err := p.Firm.Profile(c.Request().Context(), kit.Who(c), of)
	if err != nil {
		return "", "", err
	}
	err = p.Firm.UpdateMember(c.Request().Context(), kit.Who(c), of, f.Version, one)
	if fault.KindOf(err) == fault.Conflict {
		st, jobs, readErr := p.standing(c)
		if readErr != nil {
			return "", "", readErr
		}
		answered, err := kit.TwoVersions(c, err, f.Version, st.Version(), p.bothPersons(c, st, jobs, f))
		if answered {
			return "", "", err
		}
	}
	if of == kit.Who(c).ID && !strings.EqualFold(strings.TrimSpace(one.Email), was.Email) {
		return web.PersonPage(of.String()), "email-changed", err
	}
	return web.PersonPage(of.String()), "person-changed", err
}

// bothPersons shows what is on record beside what was typed.
func (p *Pages) bothPersons(c echo.Context, st firm.Profile, jobs []job.Job, f *kit.Form) web.ConflictView {
	theirs, yours := web.Typed{Sent: formOf(st)}, web.Typed{Sent: f.Values}
	v := web.ConflictView{Sheet: p.Sheet(c, ""), What: st.Name, Again: web.PersonPage(st.ID.String())}
	v.Rows = []web.ConflictRow{
		{Name: "Name", Theirs: theirs.Value("name"), Yours: yours.Value("name")},
		{Name: "Does", Theirs: labelOf(theirs), Yours: labelOf(yours)},
		{Name: "On", Theirs: ticked(theirs, jobs), Yours: ticked(yours, jobs)},
		{Name: "E-mail", Theirs: theirs.Value("email"), Yours: yours.Value("email")},
	}
	if !st.LeftAt.IsZero() {
		v.Rows = append(v.Rows, web.ConflictRow{Name: "With the firm", Theirs: "left on " + words.Date(v.Zone.In(st.LeftAt)),
			Yours: "is there"})
	}
	return v
}

func labelOf(t web.Typed) string {
	for _, o := range personKinds {
		if o.Value == t.Value("as") {
			return o.Label
		}
	}
	return ""
}

func ticked(t web.Typed, jobs []job.Job) string {
	if t.Ticked("every_job", "yes") {
		return "every job"
	}
	var names []string
	for _, j := range jobs {
		if t.Ticked("jobs", j.ID.String()) {
			names = append(names, j.Name)
		}
	}
	return strings.Join(names, ", ")
}

// OneTimeLink makes a link that signs somebody in once, and shows it only this once.
func (p *Pages) OneTimeLink(c echo.Context) error {
	of, err := kit.MemberID(c)
	if err != nil {
		return err
	}
	token, err := p.Firm.OneTimeLink(c.Request().Context(), kit.Who(c), of)
	if err != nil {
		return err
	}
	v, err := p.memberView(c, web.Typed{})
	if err != nil {
		return err
	}
	v.Link, v.Done = p.BaseURL+web.OneTimeLinkPath+token, kit.Done("one-time")
	v.Next = web.Next{Sentence: "Copy the link now and give it to " + v.Of.Name + "."}
	return kit.Secret(c, http.StatusOK, web.Member, v)
}

// SignPersonOut signs somebody out everywhere and stops their links, keys and passkeys.
func (p *Pages) SignPersonOut(c echo.Context) error {
	return toPerson(c, "sign-ins", p.Firm.EndAccess)
}

// LetGo takes somebody out of the firm.
func (p *Pages) LetGo(c echo.Context) error { return toPerson(c, "let-go", p.Firm.EndMember) }

// EndSessionOf signs somebody out on one device.
func (p *Pages) EndSessionOf(c echo.Context) error {
	return endOf(c, "session", p.Firm.EndSessionOf, "signed-out")
}

// EndKeyOf takes one key of somebody away.
func (p *Pages) EndKeyOf(c echo.Context) error { return endOf(c, "key", p.Firm.EndKeyOf, "key-away") }

// EndPasskeyOf takes one passkey of somebody away.
func (p *Pages) EndPasskeyOf(c echo.Context) error {
	return endOf(c, "passkey", p.Firm.EndPasskeyOf, "passkey-away")
}

// endOf ends one session, key or passkey of the member that the address names.
func endOf[T ~[16]byte](c echo.Context, param string, end func(context.Context, firm.Person, id.Member, T) error,
	said string) error {
	of, err := kit.MemberID(c)
	if err != nil {
		return err
	}
	return kit.Press(c, param, func(ctx context.Context, by firm.Person, one T) error {
		return end(ctx, by, of, one)
	}, web.PersonPage(of.String()), said)
}

// toPerson does something to the member that the address names, and goes back
// to their page.
func toPerson(c echo.Context, said string, do func(context.Context, firm.Person, id.Member) error) error {
	return kit.Press(c, "member", do, web.PersonPage(c.Param("member")), said)
}
