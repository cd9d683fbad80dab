package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"strings"

	"github.com/jackc/pgx/v5"

	"lathmark/migrations"
	"lathmark/persistence/schema"
)

const migrateUsage = `Usage: lathmark migrate up              bring the database to the newest schema
       lathmark migrate down [N|all]    take back the newest one, N or all, and
                                        all that was recorded in their tables
       lathmark migrate status          print where the schema stands

`

var migrateSettings = []string{"LATHMARK_DATABASE", "LATHMARK_OWNER_DATABASE"}

// runMigrate moves the schema; status ends with an error if it is not the newest.
func runMigrate(ctx context.Context, s streams, args []string) error {
	steps, err := parseMigrate(args)
	if err != nil {
		return err
	}
	c, err := readConfig(s.env)
	if err != nil {
		return err
	}
	verb := args[0]
	if verb != "status" && c.Owner == "" {
		return errors.New("LATHMARK_OWNER_DATABASE is not set: only the owner can migrate")
	}
	switch verb {
	case "up":
		err = schema.Up(ctx, c.Owner)
	case "down":
		err = schema.Down(ctx, c.Owner, steps)
	}
	if err != nil {
		return err
	}
	return printStatus(ctx, s, cmp.Or(c.Database, c.Owner), verb == "status")
}

// parseMigrate checks the arguments and returns the number of steps down, 0 for all.
func parseMigrate(args []string) (steps int, err error) {
	if len(args) == 0 {
		return 0, usageError("migrate what?")
	}
	switch verb, rest := args[0], args[1:]; {
	case verb == "down" && len(rest) == 0:
		return 1, nil
	case verb == "down" && len(rest) == 1 && rest[0] == "all":
		return 0, nil
	case verb == "down" && len(rest) == 1:
		steps, err = strconv.Atoi(rest[0])
		if err != nil || steps < 1 {
			return 0, usageError(fmt.Sprintf("%q is not a number of steps", rest[0]))
		}
		return steps, nil
	case (verb == "up" || verb == "status") && len(rest) == 0:
		return 0, nil
	}
	return 0, usageError(fmt.Sprintf("migrate does not know %q", strings.Join(args, " ")))
}

// printStatus prints every migration and whether it is applied; if check, an error says
// that one is not.
func printStatus(ctx context.Context, s streams, url string, check bool) error {
	if url == "" {
		return errors.New("neither LATHMARK_DATABASE nor LATHMARK_OWNER_DATABASE is set")
	}
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	v, err := schema.Read(ctx, conn)
	if err != nil {
		return err
	}
	files, err := fs.Glob(migrations.Files, "*.up.sql")
	if err != nil {
		return err
	}
	for _, file := range files { // sorted by their number
		name := strings.TrimSuffix(file, ".up.sql")
		number, err := strconv.ParseUint(name[:strings.IndexByte(name, '_')], 10, 0)
		if err != nil {
			return err
		}
		state := "applied"
		switch {
		case uint(number) > v.Number:
			state = "to come"
		case uint(number) == v.Number && v.Dirty:
			state = "cut short"
		}
		fmt.Fprintf(s.out, "%-9s  %s\n", state, name)
	}
	if check {
		return v.Check()
	}
	return nil
}
