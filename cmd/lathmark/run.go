package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"
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

// command is one subcommand.
type command struct {
	name, help string // help is one line for the list of commands
	usage      string // what it prints of itself
	settings   []string
	// run does it; args are what follows its name.
	run func(ctx context.Context, s streams, args []string) error
}

// usageError says what was not understood of a command line; empty: see the usage.
type usageError string

func (e usageError) Error() string { return string(e) }

// do runs the command, or prints its usage if that is what the first argument asks
// for, and returns the exit status.
func (c *command) do(ctx context.Context, s streams, args []string) int {
	if len(args) > 0 && slices.Contains([]string{"-h", "-help", "--help"}, args[0]) {
		c.explain(s.out)
		return statusDone
	}
	err := c.run(ctx, s, args)
	var misread usageError
	switch {
	case err == nil:
		return statusDone
	case errors.As(err, &misread):
		if misread != "" {
			fmt.Fprintf(s.err, "%s\n\n", misread)
		}
		c.explain(s.err)
		return statusUsage
	case errors.Is(err, flag.ErrHelp):
		c.explain(s.out)
		return statusDone
	}
	fmt.Fprintln(s.err, err)
	return statusBad
}

func (c *command) explain(w io.Writer) {
	fmt.Fprint(w, c.usage)
	if len(c.settings) > 0 {
		printSettings(w, c.settings...)
	}
}

// parse reads options that end before the first other argument, of which there
// may be none; needed are options that must be given.
func parse(flags *flag.FlagSet, args []string, needed ...*string) error {
	flags.SetOutput(io.Discard)
	if err := flags.Parse(args); errors.Is(err, flag.ErrHelp) {
		return err
	} else if err != nil {
		return usageError(err.Error())
	}
	if flags.NArg() > 0 || slices.ContainsFunc(needed, func(s *string) bool { return *s == "" }) {
		return usageError("")
	}
	return nil
}

// commands is the list of subcommands in the order in which the usage text shows them.
var commands = []command{
	{"serve", "run the server", serveUsage, allSettings(), runServe},
	{"owner", "create a firm and its first owner, and print a one-time sign-in link", ownerUsage, ownerSettings,
		runOwner},
	{"migrate", "update the database's schema, or print its state", migrateUsage, migrateSettings,
		runMigrate},
	{"diary", "check all records against what the diaries say was written and signed", diaryUsage, diarySettings,
		runDiary},
	{"photos", "delete photo files that no photo uses", photosUsage, photosSettings, runPhotos},
	{"healthy", "ask whether the server on this machine runs", healthyUsage, healthySettings, runHealthy},
	{"version", "print the commit, Go's version and the modules", versionUsage, nil, runVersion},
	{"setout", "work out where to mark today, from a room sheet in a file", setoutUsage, nil, runSetout},
	{"programme", "work out which work is done on which days, from a file", programmeUsage, nil, runProgramme},
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
			return c.do(ctx, io, args[1:])
		}
	}
	fmt.Fprintf(io.err, "unknown command %q.\n\n", args[0])
	usage(io.err, table)
	return statusUsage
}

func usage(w io.Writer, table []command) {
	fmt.Fprint(w, `Lathmark records where tails were measured at first fix and works out where to mark today.

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
