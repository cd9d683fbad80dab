package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"slices"

	"lathmark/domain/sequence"
)

const programmeUsage = `Usage: lathmark programme --json FILE

Puts the work in FILE (- reads standard input) into order and prints a start and an end
for each piece, in whole days from 0, so that nobody is in two places and the whole ends
soon. FILE holds

  {"format": "lathmark-programme/1",
   "crews": [{"id": "R1", "size": 12}],
   "work": [{"id": "a", "days": 8, "needs": {"R1": 4}, "after": [{"id": "b", "lag": 0}]},
            {"id": "b", "days": 2}],
   "schedules": 5000, "seed": 1}

A piece of work starts lag days or more after the end of what it comes after. needs,
after, lag, schedules (how many are tried) and seed may be left out. The same file gives
the same answer.
`

// runProgramme plans the work in a file. Bad input is told with its path.
func runProgramme(ctx context.Context, s streams, args []string) error {
	if k := slices.Index(args, "--json"); k >= 0 {
		args = slices.Delete(slices.Clone(args), k, k+1)
	} else {
		return usageError("programme needs --json.")
	}
	if len(args) != 1 || args[0] != "-" && args[0] != "" && args[0][0] == '-' {
		return usageError(fmt.Sprintf("programme takes --json and one file, not %q.", args))
	}
	p, err := openedAs(s.in, args[0], "programme", sequence.Read)
	if err != nil {
		return err
	}
	a, err := sequence.Plan(ctx, p)
	if err != nil {
		return err
	}
	type placed struct {
		ID    string `json:"id"`
		Start int    `json:"start"`
		End   int    `json:"end"`
	}
	out := struct {
		Format string   `json:"format"`
		Days   int      `json:"days"`
		Work   []placed `json:"work"`
	}{sequence.AnswerFormat, a.Days, []placed{}}
	for _, w := range a.Work {
		out.Work = append(out.Work, placed(w))
	}
	return printJSON(s.out, out)
}

// openedAs reads a file, or standard input for "-", with a reader of what it holds.
func openedAs[T any](in io.Reader, file, what string, read func(io.Reader) (T, error)) (T, error) {
	if file == "-" {
		return read(in)
	}
	f, err := os.Open(file)
	if err != nil {
		var none T
		return none, fmt.Errorf("the %s cannot be opened: %w", what, err)
	}
	defer func() { _ = f.Close() }() // only read
	return read(f)
}
