package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"

	"lathmark/domain/roomsheet"
	"lathmark/domain/setoutsheet"
)

const setoutUsage = `Usage: lathmark setout [--json] FILE

Works out where to mark today from the room sheet in FILE (- reads standard input)
and prints a set-out sheet. With --json it prints the answer for programs instead.
`

// setout returns the command that turns a room sheet into a set-out sheet. Bad input is
// told in full on standard error, one thing to mend a line.
func setout(_ context.Context, s streams, args []string) int {
	asJSON, help := false, false
	var files []string
	for i, a := range args {
		switch {
		case a == "--json" || a == "-json":
			asJSON = true
		case a == "-h" || a == "-help" || a == "--help":
			help = true
		case a == "--":
			files = append(files, args[i+1:]...)
		case a != "-" && strings.HasPrefix(a, "-"):
			fmt.Fprintf(s.err, "setout has no option %q.\n\n%s", a, setoutUsage)
			return statusUsage
		default:
			files = append(files, a)
		}
		if a == "--" {
			break
		}
	}
	if help {
		fmt.Fprint(s.out, setoutUsage)
		return statusDone
	}
	if len(files) != 1 {
		fmt.Fprintf(s.err, "setout takes one room sheet, not %d.\n\n%s", len(files), setoutUsage)
		return statusUsage
	}
	if err := setoutFile(s, files[0], asJSON); err != nil {
		fmt.Fprintln(s.err, err)
		return statusBad
	}
	return statusDone
}

// setoutFile reads the sheet in one file and prints its set-out.
func setoutFile(s streams, file string, asJSON bool) error {
	in := s.in
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return fmt.Errorf("the room sheet cannot be opened: %w", err)
		}
		defer func() { _ = f.Close() }() // only read
		in = f
	}
	room, err := roomsheet.Read(in)
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.out, roomsheet.SetOut(room))
	}
	return setoutsheet.Print(s.out, room, room.Solve())
}

// printJSON prints v for programs that people look at too.
func printJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
