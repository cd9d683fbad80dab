package main

import (
	"context"
	"flag"
	"fmt"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/web"
)

const ownerUsage = `Usage: lathmark owner --firm NAME --owner NAME [--zone ZONE]
       lathmark owner --again FIRM --owner NAME

Creates a firm and its first owner, and prints a sign-in link that works once.
With --again it does so for an owner who has lost every way in: passkeys, keys,
links and sessions of theirs end, and the link works for ten minutes.

  -again FIRM
    	the id of the FIRM, as it was printed when the firm was created
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
	again := flags.String("again", "", "")
	if err := parse(flags, args, owner); err != nil {
		return err
	}
	if (*name == "") == (*again == "") {
		return usageError("")
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
	firms := persistence.NewServices(db, time.Now).Firm
	if *again != "" {
		return readmit(ctx, s, firms, at, *again, *owner)
	}
	p, link, err := firms.Found(ctx, *name, *zone, *owner)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s%s%s\n", at, web.OneTimeLinkPath, link)
	fmt.Fprintf(s.err, "%s is created, firm %s, with the time zone %s. The link above signs %s in once, "+
		"within %.0f hours: send it to nobody else.\n",
		*name, p.Firm, *zone, p.Name, firm.LinkLifetime.Hours())
	return nil
}

// readmit makes a link for an owner who has lost every way in.
func readmit(ctx context.Context, s streams, firms *firm.Service, at, of, owner string) error {
	known, err := id.Parse[id.Firm](of)
	if err != nil {
		return err
	}
	p, link, err := firms.Readmit(ctx, known, owner)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s%s%s\n", at, web.OneTimeLinkPath, link)
	fmt.Fprintf(s.err, "What signed %s in has ended. The link above does so once, within %.0f minutes: send it to "+
		"nobody else.\n", p.Name, firm.CodeLifetime.Minutes())
	return nil
}
