package api_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"

	"lathmark/server"
	"lathmark/server/auth"

	"github.com/labstack/echo/v4"
	"github.com/pb33f/libopenapi"
	validator "github.com/pb33f/libopenapi-validator"
)

// bare is a server without services: the document needs none.
func bare() http.Handler {
	return server.New(server.Deps{SignIn: auth.Links{}, BaseURL: "http://127.0.0.1:8080", Log: quiet})
}

// text is the document as it is served.
var text = sync.OnceValue(func() []byte {
	w := httptest.NewRecorder()
	bare().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/api/v1/openapi.json", nil))
	return w.Body.Bytes()
})

// described is the document as somebody else's program reads it.
var described = sync.OnceValues(func() (validator.Validator, error) {
	document, err := libopenapi.NewDocument(text())
	if err != nil {
		return nil, err
	}
	v, errs := validator.NewValidator(document)
	if len(errs) > 0 {
		return nil, errs[0]
	}
	return v, nil
})

func TestDocumentIsOne(t *testing.T) {
	v, err := described()
	if err != nil {
		t.Fatal(err)
	}
	if ok, errs := v.ValidateDocument(); !ok {
		for _, e := range errs {
			t.Errorf("%s: %s", e.Message, e.Reason)
			for _, s := range e.SchemaValidationErrors {
				t.Errorf("  %s %s", s.KeywordLocation, s.Reason)
			}
		}
	}
	if !bytes.HasPrefix(text(), []byte("{")) || !bytes.Contains(text(), []byte(`"openapi": "3.1.0"`)) {
		t.Errorf("it begins %.60s", text())
	}
}

type operation struct {
	OperationID string `json:"operationId"`
	Summary     string
	Description string
	Tags        []string
	Security    []map[string][]string
	Responses   map[string]any
	Parameters  []struct{ Name, In string }
	RequestBody any
}

// operations are those of the document by method and address.
func operations(t *testing.T) map[string]operation {
	t.Helper()
	var d struct {
		Paths map[string]map[string]operation
	}
	if err := json.Unmarshal(text(), &d); err != nil {
		t.Fatal(err)
	}
	out := map[string]operation{}
	for path, methods := range d.Paths {
		for method, op := range methods {
			out[strings.ToUpper(method)+" "+path] = op
		}
	}
	return out
}

// No address is undocumented, and the document makes none up.
func TestEveryRouteIsDescribed(t *testing.T) {
	all := operations(t)
	routed := map[string]bool{}
	for _, r := range bare().(*echo.Echo).Routes() {
		if !strings.HasPrefix(r.Path, "/api/") || r.Method == echo.RouteNotFound {
			continue
		}
		steps := strings.Split(r.Path, "/")
		for i, step := range steps {
			if name, is := strings.CutPrefix(step, ":"); is {
				steps[i] = "{" + name + "}"
			}
		}
		at := r.Method + " " + strings.Join(steps, "/")
		routed[at] = true
		if _, there := all[at]; !there {
			t.Errorf("%s is not in the document", at)
		}
	}
	if len(routed) < 50 {
		t.Errorf("the router has %d routes of the API only", len(routed))
	}
	for at := range all {
		if !routed[at] {
			t.Errorf("%s is in the document and leads nowhere", at)
		}
	}
}

func TestOperationsSayWhatTheyAre(t *testing.T) {
	seen := map[string]string{}
	var opened []string
	for at, op := range operations(t) {
		if op.OperationID == "" || op.Summary == "" {
			t.Errorf("%s has no id or no summary", at)
		}
		if other, twice := seen[op.OperationID]; twice {
			t.Errorf("%s and %s are both called %s", at, other, op.OperationID)
		}
		seen[op.OperationID] = at
		if _, told := op.Responses["default"]; !told {
			t.Errorf("%s does not describe its problems", at)
		}
		guarded := slices.ContainsFunc(op.Parameters, func(p struct{ Name, In string }) bool { return p.Name == "If-Match" })
		for _, code := range []string{"412", "428"} {
			if _, told := op.Responses[code]; told != guarded {
				t.Errorf("%s takes If-Match: %v, describes %s: %v", at, guarded, code, told)
			}
		}
		if len(op.Security) > 0 {
			opened = append(opened, op.OperationID)
		}
	}
	slices.Sort(opened)
	if want := []string{"document", "progress", "setOut"}; !slices.Equal(opened, want) {
		t.Errorf("open to anybody are %v, want %v", opened, want)
	}
}

// fits holds a request that was taken, and every answer, against the document.
func fits(t *testing.T, r *http.Request, sent []byte, w *httptest.ResponseRecorder) {
	t.Helper()
	v, err := described()
	if err != nil {
		t.Fatal(err)
	}
	what := r.Method + " " + r.URL.Path
	again := func() *http.Request {
		c := r.Clone(t.Context())
		c.Body = io.NopCloser(bytes.NewReader(sent))
		return c
	}
	if w.Code < 400 {
		if ok, errs := v.ValidateHttpRequestSync(again()); !ok {
			for _, e := range errs {
				t.Errorf("%s was taken, but: %s: %s\n%.300s", what, e.Message, e.Reason, sent)
			}
		}
	}
	if ok, errs := v.ValidateHttpResponse(again(), w.Result()); !ok {
		for _, e := range errs {
			t.Errorf("%s answers %d what is not described: %s: %s", what, w.Code, e.Message, e.Reason)
			for _, s := range e.SchemaValidationErrors {
				t.Errorf("  at %s %s: %s", s.FieldPath, s.KeywordLocation, s.Reason)
			}
		}
	}
}

func TestFitsSeesWhatDoesNot(t *testing.T) {
	v, err := described()
	if err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodGet, "/api/v1/jobs", nil)
	fits := func(text string) (bool, any) {
		answer := &http.Response{StatusCode: 200, Header: http.Header{"Content-Type": {"application/json"}},
			Body: io.NopCloser(strings.NewReader(text))}
		defer answer.Body.Close()
		ok, errs := v.ValidateHttpResponse(r, answer)
		return ok, errs
	}
	if ok, errs := fits(`{"items":[]}`); !ok {
		t.Errorf("an empty list: %v", errs)
	}
	for _, text := range []string{`{"items":null}`, `{}`, `{"items":[{"id":"x"}]}`, `{"items":[],"more":1}`} {
		if ok, _ := fits(text); ok {
			t.Errorf("%s fits", text)
		}
	}
}
