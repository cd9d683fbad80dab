package api

import (
	"context"
	"encoding/json"
	"net/http"
	"reflect"
	"strconv"
	"strings"
	"sync"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"

	"github.com/danielgtaylor/huma/v2"
)

const description = `Records where tails were taped at first fix, works out where to mark today, and lets no stage
be signed off with a gap in its record.

Lengths are millimetres, angles degrees, chances 0 to 1; sigma is one standard deviation.
Who asks is known by the same cookie as on the pages,
or by a key in the header Authorization; the same things are refused.
A new record takes an id that you make,
a UUID of version 7. The same request once more gives the same answer and makes no second record.
What two people may change at once carries a version: send its ETag as If-Match.`

const (
	session = "session"
	key     = "key"
)

// configuration is that of the document: version 3.1, full paths, and nothing
// that a browser would fetch from elsewhere.
func configuration() huma.Config {
	c := huma.DefaultConfig("Lathmark", "1")
	c.OpenAPIPath, c.DocsPath, c.SchemasPath = "", "", ""
	c.CreateHooks = nil
	c.Formats = map[string]huma.Format{"application/json": {Marshal: huma.DefaultJSONFormat.Marshal, Unmarshal: readJSON},
		"json": {Marshal: huma.DefaultJSONFormat.Marshal, Unmarshal: readJSON}}
	c.Info.Description = description
	c.Info.Contact = &huma.Contact{Name: "Whoever runs this server"}
	c.Info.License = &huma.License{Name: "MIT License", Identifier: "MIT"}
	c.Servers = []*huma.Server{{URL: "/", Description: "This server."}}
	c.Components = &huma.Components{
		Schemas: huma.NewMapRegistry("#/components/schemas/", nameOf),
		SecuritySchemes: map[string]*huma.SecurityScheme{session: {Type: "apiKey", In: "cookie", Name: "lathmark",
			Description: "The session that signing in on the pages begins. Over https its name is __Host-lathmark."},
			key: {Type: "http", Scheme: "bearer",
				Description: "A key that a member makes on the page /keys, good for reading, for recording as well, or for " +
					"running jobs as well. " +
					"A request with a key has no session: cookies count for nothing then."}},
	}
	c.Components.Schemas.RegisterTypeAlias(reflect.TypeFor[words.Stage](), reflect.TypeFor[Stage]())
	c.Security = []map[string][]string{{session: {}}, {key: {}}}
	return c
}

// nameOf names a schema after its type. A room sheet has rooms and positions of
// its own, a planned layer is not one of a record, and a deed is what is asked.
func nameOf(t reflect.Type, hint string) string {
	name := huma.DefaultSchemaNamer(t, hint)
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case t.PkgPath() == reflect.TypeFor[roomsheet.Room]().PkgPath():
		return "Sheet" + name
	case t == reflect.TypeFor[firm.Layer]():
		return "PlannedLayer"
	case t == reflect.TypeFor[room.Change]():
		return "RoomChange"
	case t == reflect.TypeFor[deed.AddTimbers]():
		return name + "Request"
	}
	return name
}

// open marks what is answered without a session.
func open(op *huma.Operation) { op.Security = []map[string][]string{{}} }

func isOpen(op *huma.Operation) bool { return len(op.Security) == 1 && len(op.Security[0]) == 0 }

// refusals are the problems that an operation may answer with.
func (a *api) refusals(method string) map[string]*huma.Response {
	codes := []int{http.StatusBadRequest, http.StatusUnauthorized, http.StatusForbidden, http.StatusNotFound}
	if method != http.MethodGet {
		codes = append(codes, http.StatusConflict, http.StatusUnprocessableEntity)
	}
	out := map[string]*huma.Response{"default": a.refusal("Anything else that went wrong")}
	for _, code := range codes {
		out[strconv.Itoa(code)] = a.refusal(http.StatusText(code))
	}
	return out
}

func (a *api) refusal(says string) *huma.Response {
	return &huma.Response{Description: says,
		Content: map[string]*huma.MediaType{ProblemType: {Schema: a.schema(reflect.TypeFor[Problem]())}}}
}

func (a *api) schema(t reflect.Type) *huma.Schema {
	return a.huma.OpenAPI().Components.Schemas.Schema(t, true, "")
}

// guarded marks a write that needs If-Match.
func (a *api) guarded(op *huma.Operation) {
	for _, code := range []int{http.StatusPreconditionFailed, http.StatusPreconditionRequired} {
		op.Responses[strconv.Itoa(code)] = a.refusal(http.StatusText(code))
	}
}

// document serves the document itself. It is written out once, when it is
// first asked for: by then everything is registered.
func (a *api) document() {
	text := sync.OnceValues(func() ([]byte, error) { return json.MarshalIndent(a.huma.OpenAPI(), "", "  ") })
	route(a, "GET /openapi.json", "document", "This document", func(context.Context, firm.Person, *nothing) (*raw, error) {
		out, err := text()
		return &raw{"application/json", out}, err
	}, open, answers(&huma.Schema{Type: huma.TypeObject}))
}

// raw is an answer that is written out already.
type raw struct {
	ContentType string `header:"Content-Type" hidden:"true"`
	Body        []byte
}

// answers says what a raw answer holds.
func answers(s *huma.Schema) func(*huma.Operation) {
	return func(op *huma.Operation) {
		op.Responses[strconv.Itoa(http.StatusOK)] = &huma.Response{Description: http.StatusText(http.StatusOK),
			Content: map[string]*huma.MediaType{"application/json": {Schema: s}}}
	}
}

// sheetSchemas are those of a room sheet and of its set-out. What an answer
// leaves out of a position that is not determinate, or of a measurement that
// takes no part, is needed by nobody.
func (a *api) sheetSchemas() (sheet, setOut *huma.Schema) {
	sheet, setOut = a.schema(reflect.TypeFor[roomsheet.Room]()), a.schema(reflect.TypeFor[roomsheet.Answer]())
	all := a.huma.OpenAPI().Components.Schemas.Map()
	all["SheetPositionAnswer"].Required = []string{"id", "determinate"}
	all["SheetMeasurementAnswer"].Required = []string{"id"}
	all["SheetTimberAnswer"].Properties["move"].Nullable = true
	return sheet, setOut
}

// takes says what a raw request holds, which its handler reads and checks.
func (a *api) takes(path, method string, s *huma.Schema) {
	item := a.huma.OpenAPI().Paths[Prefix+path]
	op := map[string]*huma.Operation{http.MethodPost: item.Post, http.MethodPut: item.Put}[strings.ToUpper(method)]
	op.RequestBody.Content["application/json"].Schema = s
}
