package main

import (
	"context"
	"flag"
	"fmt"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/web"
)

const ownerUsage = `Usage: lathmark owner --firm NAME --owner NAME [--zone ZONE]

Creates a firm and its first owner, and prints a sign-in link that works once.

  -firm NAME
    	the NAME of the firm
  -owner NAME
    	first and last NAME of its owner
  -zone ZONE
    	the time ZONE in which it works, by its IANA name, such as Europe/London or
    	America/New_York; its days begin and end there (default UTC; the owner can
    	change it later)

`

var ownerSettings = []string{"LATHMARK_DATABASE", "LATHMARK_ADDRESS", "LATHMARK_LISTEN"}

// runOwner makes a firm with its first owner, and prints the link that lets the
// owner in once.
func runOwner(ctx context.Context, s streams, args []string) error {
	flags := flag.NewFlagSet("owner", flag.ContinueOnError)
	name, owner := flags.String("firm", "", ""), flags.String("owner", "", "")
	zone := flags.String("zone", string(words.UTC), "")
	if err := parse(flags, args, name, owner); err != nil {
		return err
	}
	c, err := readConfig(s.env)
	if err != nil {
		return err
	}
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
	p, link, err := persistence.NewServices(db, time.Now).Firm.Found(ctx, *name, *zone, *owner)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s%s%s\n", at, web.OneTimeLinkPath, link)
	fmt.Fprintf(s.err, "%s is created, firm %s, with the time zone %s. The link above signs %s in once, "+
		"within %.0f hours: send it to nobody else.\n",
		*name, p.Firm, *zone, p.Name, firm.LinkLifetime.Hours())
	return nil
}
