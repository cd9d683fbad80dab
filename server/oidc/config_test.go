package oidc_test

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"lathmark/server/oidc"
)

func TestReadConfig(t *testing.T) {
	read := func(path string) ([]byte, error) {
		switch path {
		case "/secret":
			return []byte("from the file\n"), nil
		case "/empty":
			return []byte("\n"), nil
		}
		return nil, errors.New("no such file")
	}
	const good = `"id":"office","label":"your account","issuer":"https://login.example","client_id":"lathmark"`
	for what, c := range map[string]struct{ text, says string }{
		"nothing":              {" ", ""},
		"one":                  {`[{` + good + `}]`, ""},
		"its secret in a file": {`[{` + good + `,"client_secret_file":"/secret"}]`, ""},
		"on this machine":      {`[{"id":"a","label":"b","issuer":"http://127.0.0.1:8081","client_id":"c"}]`, ""},
		"no list":              {`{` + good + `}`, "cannot be read"},
		"a slip of the pen":    {`[{` + good + `,"isuer":"x"}]`, "isuer"},
		"something behind it":  {`[] []`, "something after the list"},
		"twice":                {`[{` + good + `},{` + good + `}]`, "each a provider's own"},
		"no issuer":            {`[{"id":"a","label":"b","client_id":"c"}]`, "issuer"},
		"in the clear":         {`[{"id":"a","label":"b","issuer":"http://login.example","client_id":"c"}]`, "https"},
		"with a query": {`[{"id":"a","label":"b","issuer":"https://login.example?a=b","client_id":"c"}]`,
			"issuer"},
		"an id for another path": {`[{"id":"../x","label":"b","issuer":"https://a.example","client_id":"c"}]`, "id"},
		"no label":               {`[{"id":"a","issuer":"https://a.example","client_id":"c"}]`, "label"},
		"no client":              {`[{"id":"a","label":"b","issuer":"https://a.example"}]`, "client_id"},
		"no such file":           {`[{` + good + `,"client_secret_file":"/none"}]`, "no such file"},
		"an empty file":          {`[{` + good + `,"client_secret_file":"/empty"}]`, "nothing in it"},
		"the secret in two places": {`[{` + good + `,"client_secret":"x","client_secret_file":"/secret"}]`,
			"leave one out"},
		"a whole e-mail as a domain": {`[{` + good + `,"email_domains":["a@b.example"]}]`, "email_domains"},
	} {
		got, err := oidc.ReadConfig(c.text, read)
		if (err == nil) != (c.says == "") || err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q in it", what, err, c.says)
		}
		if what == "its secret in a file" && (len(got) != 1 || got[0].ClientSecret != "from the file") {
			t.Errorf("%s: %+v", what, got)
		}
	}
}

// Over https the attempt's cookie is bound to this host (RFC 6265bis, section
// 4.1.3.2).
func TestTheAttemptsCookieOverHTTPS(t *testing.T) {
	w := newWorld(t, nil)
	r := httptest.NewRecorder()
	w.overHTTPS().ServeHTTP(r, httptest.NewRequest(http.MethodPost, "/sign-in/with/op", nil))
	all := r.Result().Cookies()
	if r.Code != http.StatusOK || len(all) != 1 {
		t.Fatalf("%d, %v", r.Code, all)
	}
	if c := all[0]; c.Name != "__Host-lathmark-attempt" || !c.Secure || !c.HttpOnly || c.Path != "/" || c.Domain != "" ||
		c.SameSite != http.SameSiteLaxMode {
		t.Errorf("%+v", c)
	}
}
