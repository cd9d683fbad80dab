package caution

import (
	"flag"
	"os"
	"testing"
)

// A few hundred rooms take a second; the seed of a failing one is printed, so
// no file need keep it. What is given on the command line still counts.
func TestMain(m *testing.M) {
	for name, value := range map[string]string{"rapid.checks": "300", "rapid.nofailfile": "true"} {
		if err := flag.Set(name, value); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
