package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"runtime/debug"
	"text/tabwriter"
)

const versionUsage = `Usage: lathmark version

Prints the commit that the program was built from, Go's version, and the modules in it.
`

// commit is set by a build that has no repository at hand, with -ldflags '-X main.commit=...'.
var commit string

// runVersion says what the program is made of.
func runVersion(_ context.Context, s streams, args []string) error {
	if len(args) > 0 {
		return usageError("")
	}
	info, _ := debug.ReadBuildInfo()
	return printVersion(s.out, info)
}

// printVersion prints what a build says of itself; nil: it says nothing.
func printVersion(w io.Writer, info *debug.BuildInfo) error {
	if info == nil {
		info = &debug.BuildInfo{}
	}
	at := map[string]string{}
	for _, s := range info.Settings {
		at[s.Key] = s.Value
	}
	from := cmp.Or(at["vcs.revision"], commit, "unknown")
	if at["vcs.modified"] == "true" {
		from += ", with changes that are not committed"
	}
	fmt.Fprintf(w, "commit %s\n%s, %s/%s\n\n%d modules:\n", from, cmp.Or(info.GoVersion, "Go unknown"),
		at["GOOS"], at["GOARCH"], len(info.Deps))
	columns := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, m := range info.Deps {
		if m.Replace != nil {
			m = m.Replace
		}
		fmt.Fprintf(columns, "  %s\t%s\n", m.Path, m.Version)
	}
	return columns.Flush()
}
