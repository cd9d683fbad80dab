package main

import (
	"context"
	"fmt"
	"time"

	"lathmark/domain/photo"
	"lathmark/persistence"
)

const photosUsage = `Usage: lathmark photos sweep

Takes away the pictures that no photo names: those of photos that did not get as far as
the record. Pictures of the last day are left alone, and so is every one that a photo
names, struck out or not. It may run beside the server.

Exit status: 0 done, 1 the database or the pictures could not be reached.

`

// photosCommand returns the subcommand photos.
func photosCommand(ctx context.Context, s streams, args []string) int {
	if len(args) != 1 || args[0] != "sweep" {
		fmt.Fprint(s.err, photosUsage)
		printSettings(s.err, "LATHMARK_DATABASE", "LATHMARK_PHOTOS", "LATHMARK_PHOTOS_STORE", "LATHMARK_PHOTOS_BUCKET",
			"LATHMARK_PHOTOS_REGION", "LATHMARK_PHOTOS_KEY", "LATHMARK_PHOTOS_SECRET")
		return statusUsage
	}
	c, err := readConfig(s.env)
	var out photo.Swept
	if err == nil {
		out, err = sweep(ctx, c)
	}
	if err != nil {
		fmt.Fprintln(s.err, err)
		return statusBad
	}
	fmt.Fprintf(s.out, "kept %d files, took away %d\n", out.Kept, out.Removed)
	return statusDone
}

func sweep(ctx context.Context, c config) (photo.Swept, error) {
	c.Migrate = false
	db, err := openDatabase(ctx, c)
	if err != nil {
		return photo.Swept{}, err
	}
	defer db.Close()
	if db.Pictures, err = pictures(c); err != nil {
		return photo.Swept{}, err
	}
	return persistence.NewServices(db, time.Now).Photo.Sweep(ctx, time.Now().Add(-photo.SweepAge))
}
