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

const migrateUsage = `Usage: lathmark migrate up              update the schema to the newest version
       lathmark migrate down [N|all]    undo the newest step, N steps or all, and
                                        print what is lost with each
       lathmark migrate status          print the state of the schema

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
		return errors.New("LATHMARK_OWNER_DATABASE is not set: only that role can change the schema")
	}
	switch verb {
	case "up":
		err = schema.Up(ctx, c.Owner)
	case "down":
		err = undo(ctx, s, c.Owner, steps)
	}
	if verb != "status" && err != nil {
		return err
	}
	// The server's role cannot read where it stands everywhere on the way down.
	return printStatus(ctx, s, cmp.Or(c.Owner, c.Database), verb == "status")
}

// undo undoes the newest steps, 0 for all, and prints each with what was lost. It
// undoes none unless all can be undone.
func undo(ctx context.Context, s streams, url string, steps int) error {
	before, err := schemaAt(ctx, url)
	if err != nil {
		return err
	}
	switch check := before.Check(); {
	case before.Dirty || before.Number > migrations.Latest:
		return fmt.Errorf("nothing was undone: %w", check)
	case steps > int(before.Number):
		return fmt.Errorf("nothing was undone: the schema is at %d, so there are no %d steps to undo", before.Number,
			steps)
	case before.Number == 0:
		fmt.Fprintln(s.out, "Nothing to undo: the schema is at 0.")
		return nil
	case steps == 0:
		steps = int(before.Number)
	}
	err = schema.Down(ctx, url, steps)
	after, unread := schemaAt(context.WithoutCancel(ctx), url)
	if unread != nil {
		return errors.Join(err, unread)
	}
	files, unread := migrationNames("down")
	for n := before.Number; n > after.Number && unread == nil; n-- {
		var text []byte
		text, unread = migrations.Files.ReadFile(files[n-1] + ".down.sql")
		loses, _, _ := strings.Cut(strings.TrimPrefix(string(text), "-- Loses "), ".\n")
		fmt.Fprintf(s.out, "undone %s. Lost: %s.\n", files[n-1], loses)
	}
	took := int(before.Number - after.Number)
	switch {
	case errors.Is(err, context.Canceled) && took == steps: // told to stop when all was done
		err = nil
	case errors.Is(err, context.Canceled):
		err = errors.New("told to stop")
	}
	if err = errors.Join(err, unread); err != nil {
		return fmt.Errorf("%d of %d steps were undone, the schema is at %d: %w", took, steps, after.Number, err)
	}
	return nil
}

// schemaAt reads where a database's schema stands.
func schemaAt(ctx context.Context, url string) (v schema.Version, err error) {
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return v, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	return schema.Read(ctx, conn)
}

// migrationNames returns the names of all migrations that go a way, in their order.
func migrationNames(way string) (names []string, err error) {
	names, err = fs.Glob(migrations.Files, "*."+way+".sql") // sorted by their number
	for i := range names {
		names[i] = strings.TrimSuffix(names[i], "."+way+".sql")
	}
	return names, err
}

// parseMigrate checks the arguments and returns the number of steps down, 0 for all.
func parseMigrate(args []string) (steps int, err error) {
	if len(args) == 0 {
		return 0, usageError("say up, down or status")
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
	return 0, usageError(fmt.Sprintf("unknown command %q", strings.Join(args, " ")))
}

// printStatus prints every migration and whether it is applied; if check, an error says
// that one is not.
func printStatus(ctx context.Context, s streams, url string, check bool) error {
	if url == "" {
		return errors.New("neither LATHMARK_DATABASE nor LATHMARK_OWNER_DATABASE is set")
	}
	v, err := schemaAt(ctx, url)
	if err != nil {
		return err
	}
	names, err := migrationNames("up")
	if err != nil {
		return err
	}
	for _, name := range names {
		number, err := strconv.ParseUint(name[:strings.IndexByte(name, '_')], 10, 0)
		if err != nil {
			return err
		}
		state := "applied"
		switch {
		case uint(number) > v.Number:
			state = "pending"
		case uint(number) == v.Number && v.Dirty:
			state = "interrupted"
		}
		fmt.Fprintf(s.out, "%-11s  %s\n", state, name)
	}
	if check {
		return v.Check()
	}
	return nil
}
