package localpg

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Oldest is the oldest supported major version of PostgreSQL.
const Oldest = 15

// ErrNotInstalled says that the machine has no supported PostgreSQL. The
// error's text says what to install.
var ErrNotInstalled = errors.New("PostgreSQL is not installed")

// Programs is one installed PostgreSQL.
type Programs struct {
	Dir   string // the folder of initdb and postgres, absolute
	Major int    // the first number of its version
}

// usual is where packages put PostgreSQL's programs when they leave them off the PATH.
var usual = []string{
	"/usr/lib/postgresql/*/bin", // Debian and its derivatives
	"/usr/pgsql-*/bin",          // the PostgreSQL project's own RPMs
	"/usr/libexec/postgresql*",  // Alpine
	"/usr/local/pgsql/bin",      // built from source
	"/opt/homebrew/opt/postgresql@*/bin",
	"/usr/local/opt/postgresql@*/bin",
}

// Find returns every PostgreSQL of version Oldest or newer on the PATH and in the usual
// places, the newest first. It returns ErrNotInstalled, never an empty list without one.
func Find() ([]Programs, error) {
	return find(append(filepath.SplitList(os.Getenv("PATH")), globbed(usual)...))
}

func globbed(patterns []string) []string {
	var dirs []string
	for _, p := range patterns {
		found, _ := filepath.Glob(p) // the patterns above are well-formed
		dirs = append(dirs, found...)
	}
	return dirs
}

func find(dirs []string) ([]Programs, error) {
	var all []Programs
	var old []string
	seen := map[string]bool{}
	for _, dir := range dirs {
		// Distributions put links on the PATH; initdb looks for postgres beside its own file.
		initdb, err := filepath.EvalSymlinks(filepath.Join(dir, "initdb"))
		if err != nil || seen[filepath.Dir(initdb)] {
			continue
		}
		home := filepath.Dir(initdb)
		seen[home] = true
		if _, err := exec.LookPath(filepath.Join(home, "postgres")); err != nil {
			continue
		}
		major, err := version(initdb)
		if err != nil {
			continue
		}
		if major < Oldest {
			old = append(old, fmt.Sprintf("%s has version %d", home, major))
			continue
		}
		all = append(all, Programs{Dir: home, Major: major})
	}
	if len(all) == 0 {
		return nil, notInstalled(old)
	}
	slices.SortStableFunc(all, func(a, b Programs) int { return b.Major - a.Major })
	return all, nil
}

func notInstalled(old []string) error {
	why := "no folder on the PATH or in the usual places holds initdb and postgres"
	if len(old) > 0 {
		why = strings.Join(old, ", ") + ", which is too old"
	}
	return fmt.Errorf("%w: %s; install version %d or newer (on Debian: apt-get install postgresql)",
		ErrNotInstalled, why, Oldest)
}

var versionText = regexp.MustCompile(`\(PostgreSQL\) (\d+)`)

// version asks a program for its major version.
func version(program string) (int, error) {
	said, err := exec.Command(program, "--version").Output()
	if err != nil {
		return 0, err
	}
	number := versionText.FindSubmatch(said)
	if number == nil {
		return 0, fmt.Errorf("%s calls itself %q", program, said)
	}
	return strconv.Atoi(string(number[1]))
}
