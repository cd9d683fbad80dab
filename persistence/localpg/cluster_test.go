package localpg

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// install writes programs that only print their version.
func install(t *testing.T, version string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), version, "bin")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	script := fmt.Sprintf("#!/bin/sh\necho 'initdb (PostgreSQL) %s'\n", version)
	for _, name := range []string{"initdb", "postgres"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(script), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestFind(t *testing.T) {
	v13, v15, v17, beta := install(t, "13.2"), install(t, "15.13 (Debian 15.13-0+deb12u1)"), install(t, "17.5"), install(t,
		"18beta1")
	link := t.TempDir()
	for _, name := range []string{"initdb", "postgres"} {
		if err := os.Symlink(filepath.Join(v17, name), filepath.Join(link, name)); err != nil {
			t.Fatal(err)
		}
	}
	alone := install(t, "19.1")
	if err := os.Remove(filepath.Join(alone, "postgres")); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		dirs []string
		want []string // folders, or what the error says
	}{
		{"newest first", []string{v15, v13, beta, v17}, []string{beta, v17, v15}},
		{"a link is not a second one", []string{link, v17}, []string{v17}},
		{"initdb without postgres", []string{alone, v15}, []string{v15}},
		{"none", []string{"/nowhere", ""}, nil},
		{"too old", []string{v13}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			all, err := find(c.dirs)
			if c.want == nil {
				if !errors.Is(err, ErrNotInstalled) || !strings.Contains(err.Error(), "install version 15 or newer") {
					t.Errorf("the error is %v", err)
				}
				return
			}
			var dirs []string
			for _, p := range all {
				dirs = append(dirs, p.Dir)
			}
			if err != nil || strings.Join(dirs, " ") != strings.Join(c.want, " ") {
				t.Errorf("found %q, %v, want %q", dirs, err, c.want)
			}
		})
	}
}

func TestFindHere(t *testing.T) {
	all, err := Find()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range all {
		if p.Major < Oldest || !filepath.IsAbs(p.Dir) {
			t.Errorf("found %+v", p)
		}
	}
}

// A cluster of another version is refused by name, and is not touched.
func TestOtherVersion(t *testing.T) {
	data := folder(t)
	mark := filepath.Join(data, "cluster", "PG_VERSION")
	if err := os.Mkdir(filepath.Dir(mark), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(mark, []byte("9\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Start(context.Background(), Options{Data: data})
	if err == nil || !strings.Contains(err.Error(), "made by PostgreSQL 9") {
		t.Errorf("got %v", err)
	}
	if text, _ := os.ReadFile(mark); string(text) != "9\n" {
		t.Errorf("the cluster was made anew: %q", text)
	}
}

// What an interrupted initdb has left is neither used nor in the way.
func TestHalfMadeCluster(t *testing.T) {
	t.Parallel()
	data := folder(t)
	half := filepath.Join(data, "cluster.making")
	if err := os.MkdirAll(filepath.Join(half, "base"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(half, "PG_VERSION"), []byte("15\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(data, "lock"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	s := started(t, Options{Data: data})
	if got := ask(t, s.URL("postgres", Superuser), "select 'whole'"); got != "whole" {
		t.Error(got)
	}
}

// A folder that PostgreSQL's account may not enter is named, whatever is in it.
func TestReach(t *testing.T) {
	stranger := &account{"stranger", 4321, 4321}
	open := folder(t)
	shut := filepath.Join(open, "shut")
	if err := os.MkdirAll(filepath.Join(shut, "below"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(shut, 0o700); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		open:                      "",
		shut:                      shut,
		shut + "/below":           shut,
		shut + "/below/not there": shut,
		open + "/not there":       "",
	} {
		err := stranger.reach(path)
		if want == "" && err != nil || want != "" &&
			(err == nil || !strings.Contains(err.Error(), "may not enter "+want+":")) {
			t.Errorf("%s: %v", path, err)
		}
	}
	if err := (*account)(nil).reach(shut); err != nil {
		t.Errorf("ourselves: %v", err)
	}
	owner := &account{"owner", uint32(os.Getuid()), 4321}
	if err := owner.reach(shut); err != nil {
		t.Errorf("its owner: %v", err)
	}
}

func TestTail(t *testing.T) {
	said := &tail{}
	for i := range 2000 {
		fmt.Fprintf(said, "line %d\n", i)
	}
	if got := said.String(); len(got) > tailBytes || !strings.HasSuffix(got, "line 1999") {
		t.Errorf("%d bytes that end in %q", len(got), got[len(got)-20:])
	}
}
