package main

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"
)

func TestReadConfig(t *testing.T) {
	file := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(file, []byte("postgres:///from-file\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		env   []string
		owner string
		says  string // part of the error, "" for none
	}{
		{"nothing", nil, "", ""},
		{"others' variables", []string{"PATH=/bin", "LATHMARKISH=1", "HOME="}, "", ""},
		{"straight", []string{"LATHMARK_OWNER_DATABASE=postgres:///a=b"}, "postgres:///a=b", ""},
		{"from a file", []string{"LATHMARK_OWNER_DATABASE_FILE=" + file}, "postgres:///from-file", ""},
		{"both", []string{"LATHMARK_OWNER_DATABASE=x", "LATHMARK_OWNER_DATABASE_FILE=" + file}, "x", "leave one out"},
		{"no such file", []string{"LATHMARK_OWNER_DATABASE_FILE=/nowhere"}, "", "/nowhere"},
		{"a slip of the pen", []string{"LATHMARK_DATABSE=x"}, "", "LATHMARK_DATABSE is not a setting"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := readConfig(c.env)
			if got.Owner != c.owner {
				t.Errorf("the owner's database is %q, want %q", got.Owner, c.owner)
			}
			if c.says == "" && err != nil || c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says)) {
				t.Errorf("the error is %v, want %q in it", err, c.says)
			}
		})
	}
}

// Every field of the table is a setting with a name, and a line that says what it is for.
func TestSettingsAreDescribed(t *testing.T) {
	all := settings
	if len(all) != reflect.TypeFor[config]().NumField() {
		t.Fatalf("%d settings for %d fields", len(all), reflect.TypeFor[config]().NumField())
	}
	var out bytes.Buffer
	for _, s := range all {
		if !regexp.MustCompile(`^LATHMARK_[A-Z_]+$`).MatchString(s.name) || strings.HasSuffix(s.name, "_FILE") ||
			s.help == "" {
			t.Errorf("%+v", s)
		}
		printSettings(&out, s.name)
		said(t, "the settings", out.String(), s.name)
		said(t, "the settings", out.String(), s.help)
	}
}
