package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"strings"

	"lathmark/domain/advice"
	"lathmark/domain/roomsheet"
	"lathmark/domain/setoutsheet"
)

const setoutUsage = `Usage: lathmark setout [--json] FILE

Works out where to mark today from the room sheet in FILE (- reads standard input)
and prints a setting-out sheet. With --json it prints the answer for programs instead.
`

// runSetout turns a room sheet into a set-out sheet. Bad input is told in full, one
// thing to mend a line. Options may stand behind the file.
func runSetout(_ context.Context, s streams, args []string) error {
	asJSON := false
	var files []string
	for i, a := range args {
		if a == "--" {
			files = append(files, args[i+1:]...)
			break
		}
		switch {
		case a == "--json" || a == "-json":
			asJSON = true
		case a == "-h" || a == "-help" || a == "--help":
			return flag.ErrHelp
		case a != "-" && strings.HasPrefix(a, "-"):
			return usageError(fmt.Sprintf("unknown option %q.", a))
		default:
			files = append(files, a)
		}
	}
	if len(files) != 1 {
		return usageError(fmt.Sprintf("setout takes one room sheet, not %d.", len(files)))
	}
	return setoutFile(s, files[0], asJSON)
}

// setoutFile reads the sheet in one file and prints its set-out.
func setoutFile(s streams, file string, asJSON bool) error {
	room, err := openedAs(s.in, file, "room sheet", roomsheet.Read)
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.out, advice.SetOut(room))
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
