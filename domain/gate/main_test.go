package gate

import (
	"flag"
	"os"
	"testing"
)

// A thousand histories take a tenth of a second and reach the late stages
// many times; the seed of a failing one is printed, so no file need keep it.
// What is given on the command line still counts.
func TestMain(m *testing.M) {
	for name, value := range map[string]string{"rapid.checks": "1000", "rapid.nofailfile": "true"} {
		if err := flag.Set(name, value); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
