package photostore

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"time"

	"lathmark/domain/photo"

	"github.com/minio/minio-go/v7"
	"github.com/minio/minio-go/v7/pkg/credentials"
)

// S3 keeps pictures as the objects of one bucket, under the names that Folder
// gives its files.
type S3 struct {
	client *minio.Client
	bucket string
}

// S3Options says where the bucket is.
type S3Options struct {
	Address                     string // https://HOST[:PORT]
	Bucket, Region, Key, Secret string
}

// NewS3 returns a store. It does not connect yet.
func NewS3(o S3Options) (*S3, error) {
	at, err := url.Parse(o.Address)
	if err != nil || at.Host == "" || at.Scheme != "https" && at.Scheme != "http" || at.Path != "" && at.Path != "/" {
		return nil, fmt.Errorf("%q has to be like https://store.example", o.Address)
	}
	client, err := minio.New(at.Host, &minio.Options{Creds: credentials.NewStaticV4(o.Key, o.Secret, ""),
		Secure: at.Scheme == "https",
		Region: o.Region, BucketLookup: minio.BucketLookupPath})
	if err != nil {
		return nil, err
	}
	return &S3{client, o.Bucket}, nil
}

// Put implements photo.Store. It writes again what is there already, so that
// its time becomes now.
func (s *S3) Put(ctx context.Context, key photo.Key, data []byte) error {
	_, err := s.client.PutObject(ctx, s.bucket, name(key), bytes.NewReader(data), int64(len(data)),
		minio.PutObjectOptions{ContentType: "image/jpeg", CacheControl: "private", DisableMultipart: true})
	return err
}

// Get implements photo.Store.
func (s *S3) Get(ctx context.Context, key photo.Key) ([]byte, error) {
	object, err := s.client.GetObject(ctx, s.bucket, name(key), minio.GetObjectOptions{})
	if err != nil {
		return nil, err
	}
	defer object.Close()
	data, err := io.ReadAll(object)
	if isMissing(err) {
		return nil, photo.NoPicture(err)
	}
	return data, err
}

// Has implements photo.Store.
func (s *S3) Has(ctx context.Context, key photo.Key) (bool, error) {
	_, err := s.client.StatObject(ctx, s.bucket, name(key), minio.StatObjectOptions{})
	if isMissing(err) {
		return false, nil
	}
	return err == nil, err
}

// Delete implements photo.Store.
func (s *S3) Delete(ctx context.Context, key photo.Key) error {
	return s.client.RemoveObject(ctx, s.bucket, name(key), minio.RemoveObjectOptions{})
}

// Each implements photo.Store. Objects that are not our pictures are left out.
func (s *S3) Each(ctx context.Context, do func(photo.Key, time.Time) error) error {
	ctx, stop := context.WithCancel(ctx) // the listing ends when we return
	defer stop()
	for object := range s.client.ListObjects(ctx, s.bucket, minio.ListObjectsOptions{Recursive: true}) {
		if object.Err != nil {
			return object.Err
		}
		if key, ok := keyOf(object.Key); ok {
			if err := do(key, object.LastModified); err != nil {
				return err
			}
		}
	}
	return ctx.Err()
}

// isMissing reports whether the store says that there is no such object.
func isMissing(err error) bool {
	return err != nil && minio.ToErrorResponse(err).StatusCode == http.StatusNotFound
}
