package main

import (
	"crypto/sha256"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/persistence/pgtest"
	"lathmark/persistence/photostore"
)

// The sweep takes what is old and of no photo, and leaves what is young.
func TestPhotosSweep(t *testing.T) {
	at := filepath.Join(t.TempDir(), "photos")
	env := append(settingsFor(t, pgtest.Migrated(t)), "LATHMARK_PHOTOS="+at)
	folder, err := photostore.NewFolder(at)
	if err != nil {
		t.Fatal(err)
	}
	of := id.New[id.Firm]()
	for _, text := range []string{"old", "young"} {
		key := photo.Key{Firm: of, Sum: sha256.Sum256([]byte(text)), Size: photo.Full}
		if err := folder.Put(t.Context(), key, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if text == "old" {
			then := time.Now().Add(-2 * photo.SweepAge)
			if err := os.Chtimes(filepath.Join(at, of.String(), key.Sum.String()+"-full.jpg"), then, then); err != nil {
				t.Fatal(err)
			}
		}
	}
	if status, out, err := ran(t, env, "photos", "sweep"); status != statusDone || out != "kept 1 files, deleted 1\n" {
		t.Errorf("%d: %s%s", status, out, err)
	}
	for _, args := range [][]string{{"photos"}, {"photos", "burn"}, {"photos", "sweep", "all"}} {
		if status, _, err := ran(t, env, args...); status != statusUsage || !strings.Contains(err,
			"Usage: lathmark photos sweep") {
			t.Errorf("%v: %d: %s", args, status, err)
		}
	}
}

// Half a setting of the store is no setting, and says what is missing.
func TestPhotosSettings(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for says, c := range map[string]config{
		"needs LATHMARK_PHOTOS_BUCKET": {S3: "https://store.example", S3Key: "k"},
		"LATHMARK_PHOTOS_STORE: ":      {S3: "store.example", S3Bucket: "b", S3Key: "k", S3Secret: "s"},
		"begins with https://":         {S3: "http://store.example", S3Bucket: "b", S3Key: "k", S3Secret: "s"},
		"LATHMARK_PHOTOS: ":            {Photos: file},
	} {
		if _, err := pictures(c); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%+v: %v, want %q", c, err, says)
		}
	}
	for _, at := range []string{"https://store.example", "http://127.0.0.1:9000", "http://[::1]:9000"} {
		if _, err := pictures(config{S3: at, S3Bucket: "b", S3Key: "k", S3Secret: "s", S3Region: "r"}); err != nil {
			t.Errorf("%s: %v", at, err)
		}
	}
}
