package caution

import (
	"flag"
	"os"
	"testing"
)

// A few hundred rooms take a second; the seed of a failing one is printed, so
// no file is needed to keep it. Flags on the command line still apply.
func TestMain(m *testing.M) {
	for name, value := range map[string]string{"rapid.checks": "300", "rapid.nofailfile": "true"} {
		if err := flag.Set(name, value); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
