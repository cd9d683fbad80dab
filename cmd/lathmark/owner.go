package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"time"

	"lathmark/domain/firm"
	"lathmark/persistence"
	"lathmark/web"
)

// ownerCommand returns the subcommand owner: it makes a firm with its first owner, and prints
// the link that lets him in once.
func ownerCommand(ctx context.Context, s streams, args []string) int {
	flags := flag.NewFlagSet("owner", flag.ContinueOnError)
	flags.SetOutput(s.err)
	name := flags.String("firm", "", "the `NAME` of the firm")
	owner := flags.String("owner", "", "first and last `NAME` of its owner")
	flags.Usage = func() {
		fmt.Fprint(s.err, "Usage: lathmark owner --firm NAME --owner NAME\n\nMakes a firm with its first owner and prints "+
			"the link that lets the owner in once.\n\n")
		flags.PrintDefaults()
		fmt.Fprintln(s.err)
		printSettings(s.err, "LATHMARK_DATABASE", "LATHMARK_ADDRESS", "LATHMARK_LISTEN")
	}
	if err := flags.Parse(args); errors.Is(err, flag.ErrHelp) {
		return statusDone
	} else if err != nil {
		return statusUsage
	}
	if flags.NArg() > 0 || *name == "" || *owner == "" {
		flags.Usage()
		return statusUsage
	}
	c, err := readConfig(s.env)
	if err == nil {
		err = found(ctx, s, c, *name, *owner)
	}
	if err != nil {
		fmt.Fprintln(s.err, err)
		return statusBad
	}
	return statusDone
}

func found(ctx context.Context, s streams, c config, name, owner string) error {
	at, err := address(c)
	if err != nil {
		return err
	}
	c.Migrate = false // that is not what was asked for
	db, err := openDatabase(ctx, c)
	if err != nil {
		return err
	}
	defer db.Close()
	p, link, err := persistence.NewServices(db, time.Now).Firm.Found(ctx, name, owner)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s%s%s\n", at, web.OneTimeLinkPath, link)
	fmt.Fprintf(s.err, "%s is there, firm %s. The link above lets %s in once, within %.0f hours: send it to nobody else.\n",
		name, p.Firm, p.Name, firm.LinkLifetime.Hours())
	return nil
}
