// Command trial says what the set-out is worth on site: it draws rooms, tapes
// their tails with invented error rates, closes the walls and ceilings, opens
// every hole three ways and prints one table.
//
//	go run ./cmd/trial [--tails 10000] [--seed 20261125]
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
)

func main() {
	flags := flag.NewFlagSet("trial", flag.ExitOnError)
	tails := flags.Int("tails", 10000, "how many tails to tape and open")
	seed := flags.Uint64("seed", 20261125, "seed of everything that is drawn")
	_ = flags.Parse(os.Args[1:]) // ExitOnError: it does not return an error
	run(os.Stdout, *tails, *seed)
}

func run(w io.Writer, tails int, seed uint64) tally {
	t := trial(tails, seed)
	fmt.Fprintf(w, "seed %d, %d tails in %d rooms\n\n%s\n%s", seed, t.tails, t.rooms, rates(), t.table())
	return t
}
