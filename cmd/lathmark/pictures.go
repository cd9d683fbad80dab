package main

import (
	"errors"
	"fmt"

	"lathmark/domain/photo"
	"lathmark/persistence/photostore"
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
	s3, err := photostore.NewS3(photostore.S3Options{Address: c.S3, Bucket: c.S3Bucket, Region: c.S3Region, Key: c.S3Key,
		Secret: c.S3Secret})
	if err != nil {
		return nil, fmt.Errorf("LATHMARK_PHOTOS_STORE: %w", err)
	}
	return s3, nil
}
