package office

import (
	"net/http"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// goodFor says what a key is good for.
var goodFor = map[firm.Scope]string{firm.KeyReads: "reading", firm.KeyRecords: "reading and recording",
	firm.KeyRuns: "reading, recording and running jobs"}

// Keys are one's own keys for other programs.
func (p *Pages) Keys(c echo.Context) error {
	v, err := p.keys(c)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Keys, v)
}

func (p *Pages) keys(c echo.Context) (web.KeysView, error) {
	by := kit.Who(c)
	all, err := p.Firm.Keys(c.Request().Context(), by)
	if err != nil {
		return web.KeysView{}, err
	}
	v := web.KeysView{Sheet: p.Sheet(c, "Keys for other programs"), Scope: string(firm.KeyReads), Days: "90"}
	v.Next = web.Next{Sentence: "Make a key for a program that reads or records in your name; look below which ones " +
		"you have."}
	for _, s := range firm.Scopes {
		if s != firm.KeyRuns || firm.MayRunJobs(by) == nil {
			v.Scopes = append(v.Scopes, web.Option{Value: string(s), Label: goodFor[s]})
		}
	}
	for _, k := range all {
		v.Rows = append(v.Rows, web.KeyRow{ID: k.ID.String(), Name: k.Name, GoodFor: goodFor[k.Scope], Made: k.CreatedAt,
			Used: k.UsedAt,
			Ends: k.EndsAt, Over: !k.EndsAt.After(p.Now())})
	}
	return v, nil
}

// MakeKey makes a key and shows its secret, this once.
func (p *Pages) MakeKey(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	days := f.Count("days", "days")
	secret := ""
	if err = f.Err(); err == nil {
		_, secret, err = p.Firm.MakeKey(c.Request().Context(), kit.Who(c), f.Get("name"), firm.Scope(f.Get("scope")),
			time.Duration(days)*24*time.Hour)
	}
	fields, mend := kit.Mendable(err)
	if err != nil && !mend {
		return err
	}
	v, err2 := p.keys(c)
	if err2 != nil {
		return err2
	}
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	if mend {
		v.Faults, v.Name, v.Scope, v.Days = fields, f.Get("name"), f.Get("scope"), f.Get("days")
		return kit.Draw(c, kit.MendStatus(err), web.Keys, v)
	}
	v.Secret, v.Done = secret, kit.Done["key"]
	return kit.Draw(c, http.StatusOK, web.Keys, v)
}

// EndKey takes one of one's keys away.
func (p *Pages) EndKey(c echo.Context) error {
	of, err := id.Parse[id.Key](c.Param("key"))
	if err == nil {
		err = p.Firm.EndKey(c.Request().Context(), kit.Who(c), of)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.KeysPath, "key-away")
}
