package main

import (
	"errors"
	"fmt"
	"net/url"

	"lathmark/domain/photo"
	"lathmark/persistence/photostore"
	"lathmark/server/oidc"
)

// pictures returns where the settings want the pictures of photos.
func pictures(c config) (photo.Store, error) {
	if c.S3 == "" {
		folder, err := photostore.NewFolder(c.Photos)
		if err != nil {
			return nil, fmt.Errorf("LATHMARK_PHOTOS: %w", err)
		}
		return folder, nil
	}
	if c.S3Bucket == "" || c.S3Key == "" || c.S3Secret == "" {
		return nil, errors.New("LATHMARK_PHOTOS_STORE is set: it needs LATHMARK_PHOTOS_BUCKET, LATHMARK_PHOTOS_KEY and " +
			"LATHMARK_PHOTOS_SECRET, too")
	}
	if at, err := url.Parse(c.S3); err == nil && at.Scheme == "http" && !oidc.Safe(at) {
		return nil, fmt.Errorf("LATHMARK_PHOTOS_STORE is %q: pictures and the key to them would go over the network for "+
			"everybody on the way to read; give an address that begins with https://", c.S3)
	}
	s3, err := photostore.NewS3(photostore.S3Options{Address: c.S3, Bucket: c.S3Bucket, Region: c.S3Region, Key: c.S3Key,
		Secret: c.S3Secret})
	if err != nil {
		return nil, fmt.Errorf("LATHMARK_PHOTOS_STORE: %w", err)
	}
	return s3, nil
}
