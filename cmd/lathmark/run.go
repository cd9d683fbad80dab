package main

import (
	"context"
	"fmt"
	"io"
	"text/tabwriter"
)

// The exit statuses of every subcommand.
const (
	statusDone  = 0 // what was asked for was done
	statusBad   = 1 // the question was understood, but the input or the work went wrong
	statusUsage = 2 // the command line was not understood
)

// streams is all that a subcommand has of the outside world, so that a test can
// hand it a world of its own.
type streams struct {
	in  io.Reader
	out io.Writer // the answer
	err io.Writer // everything said about the answer
	env []string  // KEY=value, as os.Environ gives it
}

// command is one subcommand. args are what follows its name; the int is the exit
// status.
type command struct {
	name string
	help string // one line for the usage text
	run  func(ctx context.Context, io streams, args []string) int
}

// commands is the list of subcommands in the order in which the usage text shows them.
var commands = []command{
	{"demo", "run a server with an invented firm, on a PostgreSQL of its own", demoCommand},
	{"serve", "answer people's browsers until told to stop", serveCommand},
	{"owner", "make a firm with its first owner, and the link that lets him in once", ownerCommand},
	{"migrate", "bring the database to the newest schema, or say where it stands", migrateCommand},
	{"diary", "prove that no diary was changed since it was written", diaryCommand},
	{"photos", "take away pictures that no photo names", photosCommand},
	{"setout", "work out where to mark today from a room sheet", setout},
}

// run finds the subcommand that args name, runs it and returns its exit status. It
// reads nothing but its arguments, so that tests can call it many times at once.
func run(ctx context.Context, args, env []string, stdin io.Reader, stdout, stderr io.Writer) int {
	return dispatch(ctx, commands, args, streams{in: stdin, out: stdout, err: stderr, env: env})
}

func dispatch(ctx context.Context, table []command, args []string, io streams) int {
	if len(args) == 0 {
		usage(io.err, table)
		return statusUsage
	}
	switch args[0] {
	case "help", "-h", "-help", "--help":
		usage(io.out, table)
		return statusDone
	}
	for _, c := range table {
		if c.name == args[0] {
			return c.run(ctx, io, args[1:])
		}
	}
	fmt.Fprintf(io.err, "lathmark has no command %q.\n\n", args[0])
	usage(io.err, table)
	return statusUsage
}

func usage(w io.Writer, table []command) {
	fmt.Fprint(w, `Lathmark keeps where tails were taped at first fix and says where to mark today.

Usage: lathmark COMMAND [OPTIONS]

`)
	columns := tabwriter.NewWriter(w, 0, 0, 3, ' ', 0)
	for _, c := range table {
		fmt.Fprintf(columns, "  %s\t%s\n", c.name, c.help)
	}
	fmt.Fprintf(columns, "  help\tprint this text\n")
	columns.Flush()
	fmt.Fprint(w, `
Exit status: 0 done, 1 the input or the work went wrong, 2 the command line was not understood.
`)
}
