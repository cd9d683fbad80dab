package api

import (
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// barred stands in a request, while it is held against the document, in place of
// a value that nothing in it may have: what is wrong with it.
type barred string

const (
	isNull  barred = "it is null"
	hasNull barred = "it has a character that cannot be kept"
	isEmpty barred = "it is empty"
)

// readJSON is json.Unmarshal. What is read to be held against the document has
// each value barred that no field takes: huma lets null pass for what need not be
// there, and the database keeps no text with a zero byte.
func readJSON(data []byte, v any) error {
	err := json.Unmarshal(data, v)
	if all, is := v.(*any); is && err == nil {
		*all = bar(*all)
	}
	return err
}

func bar(v any) any {
	switch v := v.(type) {
	case nil:
		return isNull
	case string:
		if strings.ContainsRune(v, 0) {
			return hasNull
		}
	case []any:
		for i := range v {
			v[i] = bar(v[i])
		}
	case map[string]any:
		for name := range v {
			v[name] = bar(v[name])
		}
	}
	return v
}

// barredIn returns the problem of an address that has such a character, or a number that is
// empty, which huma lets pass for one that is not there.
func barredIn(u *url.URL, of *huma.Operation) error {
	given := u.Query()
	empty := slices.IndexFunc(of.Parameters, func(p *huma.Param) bool {
		return p.In == "query" && p.Schema.Type != huma.TypeString && given.Has(p.Name) && given.Get(p.Name) == ""
	})
	if empty >= 0 {
		return plain(http.StatusBadRequest, notDescribed, "query."+of.Parameters[empty].Name, string(isEmpty), asDocumented)
	}
	at := ""
	if strings.ContainsRune(u.Path, 0) {
		at = "path"
	}
	for name, all := range given {
		if strings.ContainsRune(strings.Join(all, ""), 0) {
			at = "query." + name
		}
	}
	if at == "" {
		return nil
	}
	return plain(http.StatusBadRequest, notDescribed, at, string(hasNull), asDocumented)
}
