package main

import (
	"bufio"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// asvsRow is a line of the table in deploy/security.md.
type asvsRow struct {
	id, how, what string
	shown         []string // file:Test, or file:Heading
}

var asvsLine = regexp.MustCompile(`^\| (\d+\.\d+\.\d+) \| ([a-z ]+) \| (.*) \| (.*) \|$`)

func asvsTable(t *testing.T) (rows []asvsRow, page string) {
	t.Helper()
	text, err := os.ReadFile(deploy + "security.md")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		m := asvsLine.FindStringSubmatch(strings.TrimSuffix(line, "\n"))
		if m == nil {
			continue
		}
		row := asvsRow{id: m[1], how: m[2], what: strings.TrimSpace(m[3])}
		for _, s := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(m[4], -1) {
			row.shown = append(row.shown, s[1])
		}
		rows = append(rows, row)
	}
	return rows, string(text)
}

// asvsIDs are the standard's at levels 1 and 2, each of which needs a line.
func asvsIDs(t *testing.T) (ids map[string]int) {
	t.Helper()
	f, err := os.Open("../../testdata/reference/asvs_5_ids.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	ids = map[string]int{}
	level := 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "# level ") {
			level++
		}
		if !strings.HasPrefix(lines.Text(), "#") {
			for _, id := range strings.Fields(lines.Text()) {
				ids[id] = level
			}
		}
	}
	return ids
}

// Every id of levels 1 and 2 has one line in the table; a test or a section that a
// line names is there; what is met names one, and what does not apply says why.
// The sums are right.
func TestSecurityTable(t *testing.T) {
	rows, page := asvsTable(t)
	ids := asvsIDs(t)
	count := [4]map[string]int{1: {}, 2: {}, 3: {}}
	var have []string
	for _, row := range rows {
		if slices.Contains(have, row.id) {
			t.Errorf("%s has two lines", row.id)
		}
		have = append(have, row.id)
		level := ids[row.id]
		if level == 0 {
			level = 3
		}
		count[level][row.how]++
		count[level][""]++
		row.judge(t)
	}
	for id := range ids {
		if !slices.Contains(have, id) {
			t.Errorf("%s has no line", id)
		}
	}
	if count[1][""] != 70 || count[2][""] != 183 {
		t.Errorf("%d ids of level 1 and %d of level 2; the standard has 70 and 183", count[1][""], count[2][""])
	}
	for level, name := range []string{1: "Level 1", 2: "Level 2", 3: "Level 3, those listed"} {
		c := count[level]
		sum := fmt.Sprintf("%s: %d ids: %d met, %d in part, %d not met, %d that do not apply.\n", name, c[""], c["met"],
			c["part"], c["not met"], c["none"])
		if level > 0 && !strings.Contains(page, sum) {
			t.Errorf("the page does not say: %s", sum)
		}
	}
}

// judge holds a line against itself.
func (row asvsRow) judge(t *testing.T) {
	t.Helper()
	shown := len(row.shown) > 0
	switch {
	case row.what == "":
		t.Errorf("%s says nothing", row.id)
	case (row.how == "met" || row.how == "part") != shown:
		t.Errorf("%s is %q and names %d tests", row.id, row.how, len(row.shown))
	case !slices.Contains([]string{"met", "part", "not met", "none"}, row.how):
		t.Errorf("%s is %q", row.id, row.how)
	}
	for _, s := range row.shown {
		if err := testIsThere(s); err != nil {
			t.Errorf("%s: %v", row.id, err)
		}
	}
}

// testIsThere reports whether a test, given as file:name, is in the tree, or a
// section of a page, given as file:heading.
func testIsThere(s string) error {
	file, name, _ := strings.Cut(s, ":")
	text, err := os.ReadFile("../../" + file)
	if err != nil {
		return err
	}
	if strings.HasSuffix(file, ".md") && strings.Contains(string(text), "\n## "+name+"\n") {
		return nil
	}
	if !strings.HasSuffix(file, "_test.go") || !strings.Contains(string(text), "\nfunc "+name+"(t *testing.T)") {
		return fmt.Errorf("no test %s", s)
	}
	return nil
}

// A test that was renamed is found missing.
func TestSecurityTableSeesWhatIsGone(t *testing.T) {
	for _, s := range []string{"cmd/lathmark/securitydoc_test.go:TestThatNeverWas", "no/such_test.go:TestSecurityTable",
		"cmd/lathmark/main.go:main", "TestSecurityTable", "deploy/security.md:A section that never was"} {
		if testIsThere(s) == nil {
			t.Errorf("%s is said to be there", s)
		}
	}
	if err := testIsThere("cmd/lathmark/securitydoc_test.go:TestSecurityTable"); err != nil {
		t.Error(err)
	}
}
