package gate

import (
	"flag"
	"os"
	"testing"
)

// A thousand histories take a tenth of a second and reach the late stages
// hundreds of times; -rapid.checks on the command line still counts.
func TestMain(m *testing.M) {
	if err := flag.Set("rapid.checks", "1000"); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}
