package main

import (
	"os/exec"
	"regexp"
	"strings"
	"testing"
)

// asked returns what the go command prints.
func asked(t *testing.T, args ...string) string {
	t.Helper()
	cmd := exec.Command("go", args...)
	var said strings.Builder
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go %s: %v\n%s", strings.Join(args, " "), err, said.String())
	}
	return string(out)
}

// reasoned is a line of the table of modules in DEVELOPERS.md: modules, for whom, what for.
var reasoned = regexp.MustCompile(`(?m)^\| ([\w./, -]+?)(?: \(([a-z, ]+)\))? \| .+ \|$`)

// required is a module that go.mod asks for by name.
var required = regexp.MustCompile(`(?m)^(?:\t|require )(\S+) v\S+$`)

// The table in DEVELOPERS.md says which modules are for the demo or the tests alone: none of them
// is in the server's program, and every other module that go.mod asks for is.
func TestTheServerHoldsWhatItNeeds(t *testing.T) {
	_, table, _ := strings.Cut(textOfFile(t, "../../DEVELOPERS.md"), "## Why each dependency\n")
	table, _, _ = strings.Cut(table, "\n\n| typescript")
	notShipped := map[string]bool{} // by the end of a module's path
	for _, m := range reasoned.FindAllStringSubmatch(table, -1) {
		for _, name := range strings.Split(m[1], ", ") {
			notShipped[name] = m[2] != ""
		}
	}
	linked := map[string]bool{}
	for _, path := range strings.Fields(asked(t, "list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", ".")) {
		linked[path] = true
	}
	var direct []string
	for _, m := range required.FindAllStringSubmatch(textOfFile(t, "../../go.mod"), -1) {
		direct = append(direct, m[1])
	}
	if len(direct) < 10 || len(linked) < 10 {
		t.Fatalf("%d modules in go.mod, %d linked", len(direct), len(linked))
	}
	for _, path := range direct {
		apart, listed := false, false
		for name, is := range notShipped {
			if strings.Contains("/"+path+"/", "/"+name+"/") {
				apart, listed = is, true
			}
		}
		switch {
		case !listed:
			t.Errorf("%s has no line in DEVELOPERS.md", path)
		case apart && linked[path]:
			t.Errorf("%s is in the server's program, and DEVELOPERS.md says what it is for: not that", path)
		case !apart && !linked[path]:
			t.Errorf("%s is not in the server's program: DEVELOPERS.md has to say whom it is for", path)
		}
	}
}
