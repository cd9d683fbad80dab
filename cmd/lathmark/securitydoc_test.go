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
	shown         []string // file:Test
}

var asvsLine = regexp.MustCompile(`^\| (\d+\.\d+\.\d+)( †)? \| ([a-z ]+) \| (.*) \| (.*) \|$`)

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
		row := asvsRow{id: m[1], how: m[3], what: strings.TrimSpace(m[4])}
		for _, s := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(m[5], -1) {
			row.shown = append(row.shown, s[1])
		}
		rows = append(rows, row)
	}
	return rows, string(text)
}

// asvsIDs are those on file, each of which needs a line.
func asvsIDs(t *testing.T) (ids []string) {
	t.Helper()
	f, err := os.Open("../../testdata/reference/asvs_5_ids.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if !strings.HasPrefix(lines.Text(), "#") {
			ids = append(ids, strings.Fields(lines.Text())...)
		}
	}
	return ids
}

// Every id on file has one line in the table; a test that a line names is there;
// what is met is shown by a test, and what is not says why. The sum is right.
func TestSecurityTable(t *testing.T) {
	rows, page := asvsTable(t)
	count := map[string]int{}
	var have []string
	for _, row := range rows {
		if slices.Contains(have, row.id) {
			t.Errorf("%s has two lines", row.id)
		}
		have = append(have, row.id)
		count[row.how]++
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
	ids := asvsIDs(t)
	if len(ids) < 40 {
		t.Fatalf("only %d ids on file", len(ids))
	}
	for _, id := range ids {
		if !slices.Contains(have, id) {
			t.Errorf("%s has no line", id)
		}
		if strings.Contains(page, "| "+id+" † |") {
			t.Errorf("%s is on file, and not from memory", id)
		}
	}
	for _, id := range have {
		if !slices.Contains(ids, id) && !strings.Contains(page, "| "+id+" † |") {
			t.Errorf("%s is not on file, and not marked as from memory", id)
		}
	}
	sum := fmt.Sprintf("%d ids: %d met, %d in part, %d not met, %d that do not apply.", len(rows), count["met"],
		count["part"], count["not met"], count["none"])
	if !strings.Contains(page, sum) {
		t.Errorf("the page does not say: %s", sum)
	}
}

// testIsThere reports whether a test, given as file:name, is in the tree.
func testIsThere(s string) error {
	file, name, _ := strings.Cut(s, ":")
	text, err := os.ReadFile("../../" + file)
	if err != nil {
		return err
	}
	if !strings.HasSuffix(file, "_test.go") || !strings.Contains(string(text), "\nfunc "+name+"(t *testing.T)") {
		return fmt.Errorf("no test %s", s)
	}
	return nil
}

// A test that was renamed is found missing.
func TestSecurityTableSeesWhatIsGone(t *testing.T) {
	for _, s := range []string{"cmd/lathmark/securitydoc_test.go:TestThatNeverWas", "no/such_test.go:TestSecurityTable",
		"cmd/lathmark/main.go:main", "TestSecurityTable"} {
		if testIsThere(s) == nil {
			t.Errorf("%s is said to be there", s)
		}
	}
	if err := testIsThere("cmd/lathmark/securitydoc_test.go:TestSecurityTable"); err != nil {
		t.Error(err)
	}
}
