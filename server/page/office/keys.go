package office

import (
	"net/http"
	"net/url"
	"time"

	"lathmark/domain/firm"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Keys are one's own keys for other programs. It makes one and shows its secret,
// this once.
func (p *Pages) Keys() kit.Pair {
	return kit.Filled[web.KeysView]{Page: web.Keys, View: p.keys, Take: p.makeKey}.Pair()
}

func (p *Pages) keys(c echo.Context, typed web.Typed) (web.KeysView, error) {
	by := kit.Who(c)
	all, err := p.Firm.Keys(c.Request().Context(), by)
	if err != nil {
		return web.KeysView{}, err
	}
	v := web.KeysView{Sheet: p.Sheet(c, "Keys for other programs"), Typed: typed, Rows: all}
	v.Begins = url.Values{"scope": {string(firm.KeyReads)}, "days": {"90"}}
	v.Next = web.Next{Sentence: "Make a key for a program that reads or records in your name. Your keys are listed " +
		"below."}
	for _, s := range firm.Scopes {
		if s != firm.KeyRuns || firm.MayRunJobs(by) == nil {
			v.Scopes = append(v.Scopes, web.Option{Value: string(s), Label: s.GoodFor()})
		}
	}
	return v, nil
}

func (p *Pages) makeKey(c echo.Context, f *kit.Form) (to, said string, err error) {
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	days := f.Count("days", "days")
	if err := f.Err(); err != nil {
		return "", "", err
	}
	_, secret, err := p.Firm.MakeKey(c.Request().Context(), kit.Who(c), f.Get("name"), firm.Scope(f.Get("scope")),
		time.Duration(days)*24*time.Hour)
	if err != nil {
		return "", "", err
	}
	v, err := p.keys(c, web.Typed{})
	if err != nil {
		return "", "", err
	}
	v.Secret, v.Done = secret, kit.Done("key")
	return "", "", kit.Draw(c, http.StatusOK, web.Keys, v)
}

// EndKey takes one of one's keys away.
func (p *Pages) EndKey(c echo.Context) error {
	return kit.Press(c, "key", p.Firm.EndKey, web.KeysPath, "key-away")
}
