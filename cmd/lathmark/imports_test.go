package main

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// built is one package as `go list -json` tells of it; test files are left out.
type built struct {
	ImportPath, Dir string
	GoFiles         []string
	Imports         []string // by the package itself
	Deps            []string // by anything it stands on, too
}

// ban says that no package under one of who may import one under never. Paths within
// the module are written without its name. A ban that is deep also holds for what the
// imported packages import.
type ban struct {
	who, never []string
	except     []string
	deep       bool
	why        string
}

var (
	pure = []string{"domain/fault", "domain/geometry", "domain/roomsheet", "domain/setoutsheet", "domain/room",
		"domain/gate",
		"domain/caution", "domain/sequence", "domain/words"}
	database = []string{"github.com/jackc", "database/sql"}
	pages    = []string{"github.com/labstack/echo"}
)

var bans = []ban{
	{who: pure, never: []string{"net", "os", "log", "math/rand", "database/sql"},
		except: []string{"domain/room/roomtest"}, // which reads testdata
		why:    "the same input must give the same bytes: no files, no network, no chance"},
	{who: []string{"domain/sequence"}, never: []string{"domain/words", "domain/room", "domain/roomsheet", "domain/job",
		"domain/firm", "domain/standing", "domain/deed", "domain/programme"},
		why: "it puts work in order, whatever the work is"},
	{who: []string{"domain"}, never: join(database, pages, []string{"html/template", "net/http"}),
		why: "the rules of the trade know neither the database nor the pages"},
	{who: []string{"domain"}, never: []string{"github.com/jackc", "github.com/labstack", "github.com/golang-migrate"},
		deep: true,
		why:  "the rules of the trade know neither the database nor the pages"},
	{who: []string{"domain"}, never: []string{"persistence", "migrations", "server", "web", "cmd"}, deep: true,
		why: "imports point at the domain, never away from it"},
	{who: []string{"domain", "web"}, never: []string{"image/jpeg", "image/png", "golang.org/x/image", "github.com/minio"},
		why: "pictures are unpacked and kept at the edges: what is on record of one is its sum and its sides"},
	{who: []string{"persistence"}, never: join(pages, []string{"server", "web", "cmd", "html/template"}), deep: true,
		why: "storage does not know who asks"},
	{who: []string{"persistence/localpg"}, never: []string{"domain", "migrations", "github.com/jackc"},
		why: "it starts a PostgreSQL and does not care what for"},
	{who: []string{"migrations"}, never: []string{"domain", "persistence", "server", "web", "cmd"}, deep: true,
		why: "a migration must mean the same after the code has moved on"},
	{who: []string{"web"}, never: database, why: "a page is drawn from values that are given to it"},
	{who: []string{"web"}, deep: true, // ids can be read from a database/sql, which nobody here does
		never: join(pages, []string{"github.com/jackc", "persistence", "migrations", "server", "cmd"}),
		why:   "a page is drawn from values that are given to it"},
	{who: []string{"server"}, never: join(database, []string{"persistence", "migrations", "cmd"}),
		why: "a handler asks a service, so that pages and API obey the same rules"},
	{who: []string{"cmd/lathmark", "cmd/hosting"}, deep: true,
		never: []string{"cmd/demo", "persistence/localpg", "server/oidc/provider", "testing"},
		why:   "the server's program holds nothing that only the demo or the tests need"},
	{who: []string{""}, never: []string{"cmd"}, except: []string{"cmd"}, deep: true,
		why: "cmd puts everything together and is imported by nobody"},
}

func join(lists ...[]string) []string { return slices.Concat(lists...) }

// breaches lists every import that a ban forbids, with the ban's reason.
func breaches(bans []ban, packages []built) []string {
	var out []string
	for _, p := range packages {
		name := within(p.ImportPath)
		for _, b := range bans {
			if !under(name, b.who) || under(name, b.except) {
				continue
			}
			imports := p.Imports
			if b.deep {
				imports = p.Deps
			}
			for _, i := range imports {
				if under(within(i), b.never) {
					out = append(out, fmt.Sprintf("%s imports %s: %s", name, within(i), b.why))
				}
			}
		}
	}
	return out
}

func within(path string) string { return strings.TrimPrefix(path, "lathmark/") }

// under reports whether path is one of the folders or lies in one; "" is every folder.
func under(path string, folders []string) bool {
	return slices.ContainsFunc(folders, func(f string) bool {
		return f == "" || path == f || strings.HasPrefix(path, f+"/")
	})
}

func listed(t *testing.T) []built {
	t.Helper()
	list := exec.Command("go", "list", "-json=ImportPath,Dir,GoFiles,Imports,Deps", "lathmark/...")
	var said strings.Builder
	list.Stderr = &said
	raw, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, said.String())
	}
	var packages []built
	for in := json.NewDecoder(strings.NewReader(string(raw))); ; {
		var p built
		if err := in.Decode(&p); err == io.EOF {
			return packages
		} else if err != nil {
			t.Fatal(err)
		}
		packages = append(packages, p)
	}
}

func TestImports(t *testing.T) {
	packages := listed(t)
	if len(packages) < 2 {
		t.Fatalf("go list named %d packages only", len(packages))
	}
	for _, b := range breaches(bans, packages) {
		t.Error(b)
	}
}

// The pure packages take the time as an argument; a clock of their own would make a
// sign-off that cannot be worked out again.
func TestPurePackagesHaveNoClock(t *testing.T) {
	for _, p := range listed(t) {
		if !under(within(p.ImportPath), pure) {
			continue
		}
		for _, file := range p.GoFiles {
			for _, at := range clocks(t, filepath.Join(p.Dir, file), nil) {
				t.Errorf("%s reads the clock", at)
			}
		}
	}
}

// clocks returns the places in a file that call time.Now, time.Since or time.Until.
// src is as for parser.ParseFile.
func clocks(t *testing.T, file string, src any) []string {
	t.Helper()
	files := token.NewFileSet()
	tree, err := parser.ParseFile(files, file, src, 0)
	if err != nil {
		t.Fatal(err)
	}
	var at []string
	ast.Inspect(tree, func(n ast.Node) bool {
		if s, ok := n.(*ast.SelectorExpr); ok {
			x, isName := s.X.(*ast.Ident)
			if isName && x.Name == "time" && slices.Contains([]string{"Now", "Since", "Until"}, s.Sel.Name) {
				at = append(at, files.Position(s.Pos()).String())
			}
		}
		return true
	})
	return at
}

// The checks above see what they are there to see.
func TestBansCatch(t *testing.T) {
	for _, c := range []struct {
		who, imports string
		deep         bool // at one remove only
		caught       bool
	}{
		{"domain/geometry", "os", false, true},
		{"domain/geometry", "os", true, false}, // fmt stands on os, and that is no harm
		{"domain/geometry", "gonum.org/v1/gonum/mat", false, false},
		{"domain/gate", "net/http", false, true},
		{"domain/job", "github.com/jackc/pgx/v5", true, true},
		{"domain/job", "lathmark/persistence", true, true},
		{"domain/job", "lathmark/domain/firm", false, false},
		{"domain/job", "html/template", false, true},
		{"persistence", "lathmark/server/page", true, true},
		{"persistence", "github.com/jackc/pgx/v5", false, false},
		{"persistence/localpg", "lathmark/migrations", false, true},
		{"web", "lathmark/persistence", true, true},
		{"web", "html/template", false, false},
		{"server/api", "github.com/jackc/pgx/v5", false, true},
		{"server/api", "lathmark/persistence", false, true},
		{"server/api", "github.com/labstack/echo/v4", false, false},
		{"server", "lathmark/cmd/lathmark/sub", false, true},
		{"migrations", "lathmark/domain/job", false, true},
		{"cmd/lathmark", "lathmark/persistence", false, false},
		{"cmd/lathmark", "lathmark/cmd/demo/scenario", true, true},
		{"cmd/lathmark", "lathmark/cmd/hosting", false, false},
		{"webbing", "lathmark/persistence", false, false}, // not under web
	} {
		p := built{ImportPath: "lathmark/" + c.who, Deps: []string{c.imports}}
		if !c.deep {
			p.Imports = p.Deps
		}
		if got := breaches(bans, []built{p}); (len(got) > 0) != c.caught {
			t.Errorf("%s importing %s (at one remove: %v): %q", c.who, c.imports, c.deep, got)
		}
	}
	source := "package p\nimport \"time\"\nvar d = time.Second\nfunc f() time.Time { return time.Now() }\n"
	if got := clocks(t, "p.go", source); len(got) != 1 || !strings.HasPrefix(got[0], "p.go:4:") {
		t.Errorf("clocks found: %q", got)
	}
}
