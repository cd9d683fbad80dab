package office

import (
	"context"
	"net/http"
	"net/url"

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

// Member is one of the firm with their ways to sign in, for the owner.
func (p *Pages) Member(c echo.Context) error {
	v, err := p.memberView(c)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Member, v)
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

func (p *Pages) memberView(c echo.Context) (web.MemberView, error) {
	st, jobs, err := p.standing(c)
	if err != nil {
		return web.MemberView{}, err
	}
	by, _ := auth.Who(c)
	v := web.MemberView{Sheet: p.Sheet(c, st.Name), Of: personRow(st, by.Person, jobs), Form: formOfPerson(st, jobs),
		Lasts: lasts(firm.LinkLifetime), Forgotten: st.Name == subjectdata.NameFor(st.ID)}
	v.Token = kit.WithVersion(v.Token, st.Version())
	for _, i := range st.KnownBy {
		v.KnownBy = append(v.KnownBy, hostOf(i.Issuer))
	}
	for _, s := range st.Sessions {
		v.Sessions = append(v.Sessions, web.SessionRow{ID: s.ID.String(), Device: deviceOf(s), Here: s.ID == by.Session,
			Since: s.CreatedAt, Seen: s.SeenAt, EndsDay: s.EndsAt})
	}
	for _, k := range st.Keys {
		v.Keys = append(v.Keys, web.KeyRow{ID: k.ID.String(), Name: k.Name, GoodFor: goodFor[k.Scope], Made: k.CreatedAt,
			Used: k.UsedAt, Ends: k.EndsAt, Over: !k.EndsAt.After(p.Now())})
	}
	v.Passkeys = passkeyRows(st.Passkeys)
	v.Next = web.Next{Sentence: memberNext(v)}
	return v, nil
}

func memberNext(v web.MemberView) string {
	switch name := v.Of.Name; {
	case !v.Of.Left.IsZero():
		return "Nothing is owed here: " + name + " left."
	case v.Of.Self:
		return "This is what is said of you."
	case len(v.Sessions) == 0:
		return name + " is not signed in anywhere. Make a one-time link to let " + name + " in."
	default:
		return name + " is signed in on " + words.Count(len(v.Sessions), "device") + ". Change what is said of " + name +
			", or end a way in."
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

// formOfPerson is what is on record of somebody.
func formOfPerson(st firm.Profile, jobs []job.Job) web.PersonForm {
	f := kit.NewForm(url.Values{"name": {st.Name}, "email": {st.Email}, "as": {string(st.Role)}})
	if st.Role == firm.Trade {
		f.Set("as", string(st.Trade))
	}
	if st.EveryJob {
		f.Set("every_job", "yes")
	}
	for _, j := range st.Team.Jobs {
		f.Add("jobs", j.String())
	}
	return typedPerson(f, jobs)
}

// ChangePerson takes what is said of somebody, unless somebody else changed it
// first: then both versions are shown.
func (p *Pages) ChangePerson(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := kit.MemberID(c)
	if err != nil {
		return err
	}
	said, err := particulars(f)
	if err != nil {
		return err
	}
	err = p.Firm.UpdateMember(c.Request().Context(), kit.Who(c), of, f.Version, said)
	fields, ok := kit.Mendable(err)
	if err != nil && !ok {
		return err
	}
	if err == nil {
		return kit.SeeOther(c, web.PersonPage(of.String()), "person-changed")
	}
	st, jobs, err2 := p.standing(c)
	if err2 != nil {
		return err2
	}
	if fault.KindOf(err) == fault.Conflict && f.Version != 0 && f.Version != st.Version() {
		return p.bothPersons(c, st, jobs, f)
	}
	v, err2 := p.memberView(c)
	if err2 != nil {
		return err2
	}
	v.Form, v.Faults = typedPerson(f, jobs), kit.Renamed(fields, "role", "as", "trade", "as")
	return kit.Draw(c, kit.MendStatus(err), web.Member, v)
}

// bothPersons shows what is on record beside what was typed.
func (p *Pages) bothPersons(c echo.Context, st firm.Profile, jobs []job.Job, f *kit.Form) error {
	theirs, yours := formOfPerson(st, jobs), typedPerson(f, jobs)
	v := web.ConflictView{Sheet: p.Sheet(c, "Two versions"), What: st.Name, Who: "Somebody else", When: "a moment ago",
		Again: web.PersonPage(st.ID.String())}
	v.Next = web.Next{Sentence: "Look at both, then enter what is right.", Action: "Open it again", Href: v.Again}
	v.Rows = []web.ConflictRow{
		{Name: "Name", Theirs: theirs.Name, Yours: yours.Name},
		{Name: "Does", Theirs: labelOf(theirs), Yours: labelOf(yours)},
		{Name: "On", Theirs: ticked(theirs), Yours: ticked(yours)},
		{Name: "E-mail", Theirs: theirs.Email, Yours: yours.Email},
	}
	if !st.LeftAt.IsZero() {
		v.Rows = append(v.Rows, web.ConflictRow{Name: "With the firm", Theirs: "left on " + words.Date(st.LeftAt),
			Yours: "is there"})
	}
	return kit.Draw(c, http.StatusConflict, web.Conflict, v)
}

func labelOf(f web.PersonForm) string {
	for _, o := range f.Kinds {
		if o.Value == f.As {
			return o.Label
		}
	}
	return ""
}

func ticked(f web.PersonForm) string {
	if f.EveryJob {
		return "every job"
	}
	out := ""
	for _, j := range f.Jobs {
		if j.On && out != "" {
			out += ", "
		}
		if j.On {
			out += j.Name
		}
	}
	return out
}

// OneTimeLink makes a link that lets somebody in once, and shows it this once.
func (p *Pages) OneTimeLink(c echo.Context) error {
	of, err := kit.MemberID(c)
	if err != nil {
		return err
	}
	token, err := p.Firm.OneTimeLink(c.Request().Context(), kit.Who(c), of)
	if err != nil {
		return err
	}
	v, err := p.memberView(c)
	if err != nil {
		return err
	}
	v.Link, v.Done = p.BaseURL+web.OneTimeLinkPath+token, kit.Done["one-time"]
	v.Next = web.Next{Sentence: "Copy the link now and give it to " + v.Of.Name + "."}
	return kit.Secret(c, http.StatusOK, web.Member, v)
}

// SignPersonOut ends whatever lets somebody in.
func (p *Pages) SignPersonOut(c echo.Context) error {
	return p.toPerson(c, "ways-in", p.Firm.EndWaysIn)
}

// LetGo takes somebody out of the firm.
func (p *Pages) LetGo(c echo.Context) error { return p.toPerson(c, "let-go", p.Firm.EndMember) }

// EndSessionOf signs somebody out on one device.
func (p *Pages) EndSessionOf(c echo.Context) error {
	session, err := id.Parse[id.Session](c.Param("session"))
	if err != nil {
		return err
	}
	return p.toPerson(c, "signed-out", func(ctx context.Context, by firm.Person, of id.Member) error {
		return p.Firm.EndSessionOf(ctx, by, of, session)
	})
}

// EndKeyOf takes one key of somebody away.
func (p *Pages) EndKeyOf(c echo.Context) error {
	key, err := id.Parse[id.Key](c.Param("key"))
	if err != nil {
		return err
	}
	return p.toPerson(c, "key-away", func(ctx context.Context, by firm.Person, of id.Member) error {
		return p.Firm.EndKeyOf(ctx, by, of, key)
	})
}

// EndPasskeyOf takes one passkey of somebody away.
func (p *Pages) EndPasskeyOf(c echo.Context) error {
	passkey, err := id.Parse[id.Passkey](c.Param("passkey"))
	if err != nil {
		return err
	}
	return p.toPerson(c, "passkey-away", func(ctx context.Context, by firm.Person, of id.Member) error {
		return p.Firm.EndPasskeyOf(ctx, by, of, passkey)
	})
}

// toPerson does something to the member that the address names, and goes back
// to the member's page.
func (p *Pages) toPerson(c echo.Context, said string, do func(context.Context, firm.Person, id.Member) error) error {
	of, err := kit.MemberID(c)
	if err == nil {
		err = do(c.Request().Context(), kit.Who(c), of)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.PersonPage(of.String()), said)
}
