package main

import (
	"context"
	"fmt"
	"time"

	"lathmark/domain/photo"
	"lathmark/persistence"
)

const photosUsage = `Usage: lathmark photos sweep

Deletes the photo files that no photo uses: those of photos that were never saved. Files of
the last day are kept, and so is every file that a photo uses, struck out or not. It may run
while the server runs.

Exit status: 0 done, 1 the database or the photo files could not be reached.

`

var photosSettings = []string{"LATHMARK_DATABASE", "LATHMARK_PHOTOS", "LATHMARK_PHOTOS_STORE",
	"LATHMARK_PHOTOS_BUCKET", "LATHMARK_PHOTOS_REGION", "LATHMARK_PHOTOS_KEY", "LATHMARK_PHOTOS_SECRET"}

// runPhotos deletes the photo files that no photo uses.
func runPhotos(ctx context.Context, s streams, args []string) error {
	if len(args) != 1 || args[0] != "sweep" {
		return usageError("")
	}
	c, err := readConfig(s.env)
	if err != nil {
		return err
	}
	c.Migrate = false // that is not what was asked for
	db, err := openDatabase(ctx, c)
	if err != nil {
		return err
	}
	defer db.Close()
	if db.Pictures, err = pictures(c); err != nil {
		return err
	}
	out, err := persistence.NewServices(db, time.Now).Photo.Sweep(ctx, time.Now().Add(-photo.SweepAge))
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "kept %d files, deleted %d\n", out.Kept, out.Removed)
	return nil
}
