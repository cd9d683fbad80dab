package photostore_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"golang.org/x/sync/errgroup"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/persistence/photostore"
)

func folder(t *testing.T) (*photostore.Folder, string) {
	t.Helper()
	at := filepath.Join(t.TempDir(), "photos")
	f, err := photostore.NewFolder(at)
	if err != nil {
		t.Fatal(err)
	}
	return f, at
}

func keyOf(of id.Firm, text string, size photo.Size) photo.Key {
	return photo.Key{Firm: of, Sum: sha256.Sum256([]byte(text)), Size: size}
}

// keeps checks what every store has to do.
func keeps(t *testing.T, s photo.Store) {
	ctx, mine, others := t.Context(), id.New[id.Firm](), id.New[id.Firm]()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	full, thumb := keyOf(mine, "a", photo.Full), keyOf(mine, "a", photo.Thumb)
	began := time.Now().Add(-2 * time.Second) // a store's clock may count whole seconds
	must(s.Put(ctx, full, []byte("large")))
	must(s.Put(ctx, thumb, []byte("small")))
	must(s.Put(ctx, full, []byte("large"))) // again
	for key, want := range map[photo.Key]string{full: "large", thumb: "small"} {
		got, err := s.Get(ctx, key)
		if there, hasErr := s.Has(ctx, key); err != nil || hasErr != nil || !there || string(got) != want {
			t.Errorf("%v: %q, %v, %v, %v", key, got, err, there, hasErr)
		}
	}
	for _, key := range []photo.Key{keyOf(mine, "a", photo.Page), keyOf(mine, "b", photo.Full),
		keyOf(others, "a", photo.Full)} {
		_, err := s.Get(ctx, key)
		if there, hasErr := s.Has(ctx, key); fault.KindOf(err) != fault.NotFound || there || hasErr != nil {
			t.Errorf("%v is not there: %v, %v, %v", key, err, there, hasErr)
		}
	}
	listed := func() (all []photo.Key) {
		must(s.Each(ctx, func(key photo.Key, put time.Time) error {
			if put.Before(began) || put.After(time.Now().Add(2*time.Second)) {
				t.Errorf("%v was put at %v", key, put)
			}
			all = append(all, key)
			return nil
		}))
		return all
	}
	if all := listed(); len(all) != 2 || !slices.Contains(all, full) || !slices.Contains(all, thumb) {
		t.Errorf("it lists %v", all)
	}
	if err := s.Each(ctx, func(photo.Key,
		time.Time) error {
		return context.DeadlineExceeded
	}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("listing ended with %v", err)
	}
	must(s.Delete(ctx, full))
	must(s.Delete(ctx, full)) // already gone
	if all := listed(); len(all) != 1 || all[0] != thumb {
		t.Errorf("after one is taken away it lists %v", all)
	}
}

func TestFolderKeeps(t *testing.T) {
	f, _ := folder(t)
	keeps(t, f)
}

// Nobody but the program's user can read the pictures, however loose its umask.
func TestFolderIsPrivate(t *testing.T) {
	f, at := folder(t)
	if err := f.Put(t.Context(), keyOf(id.New[id.Firm](), "a", photo.Full), []byte("x")); err != nil {
		t.Fatal(err)
	}
	files := 0
	err := filepath.WalkDir(at, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := e.Info()
		if info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s has mode %v", path, info.Mode())
		}
		if !e.IsDir() {
			files++
		}
		return err
	})
	if err != nil || files != 1 {
		t.Errorf("%d files, %v", files, err)
	}
}

// What many put at once is complete, and no half-written file is left.
func TestManyPutTheSame(t *testing.T) {
	f, at := folder(t)
	of, data := id.New[id.Firm](), bytes.Repeat([]byte("0123456789"), 50_000)
	var all errgroup.Group
	for i := range 16 {
		key := keyOf(of, fmt.Sprint(i%3), photo.Full)
		all.Go(func() error { return f.Put(t.Context(), key, data) })
		all.Go(func() error {
			got, err := f.Get(t.Context(), key)
			if err == nil && !bytes.Equal(got, data) {
				return fmt.Errorf("%d of %d bytes were there", len(got), len(data))
			}
			if err != nil && fault.KindOf(err) != fault.NotFound {
				return err
			}
			return nil
		})
	}
	if err := all.Wait(); err != nil {
		t.Error(err)
	}
	left, err := os.ReadDir(filepath.Join(at, of.String()))
	if err != nil || len(left) != 3 {
		t.Errorf("%v, %v", left, err)
	}
}

// What is not ours is not listed; what a killed program left half written is
// removed once it is old.
func TestFolderLeavesOthersAlone(t *testing.T) {
	f, at := folder(t)
	of := id.New[id.Firm]().String()
	old := time.Now().Add(-2 * photo.SweepAge)
	files := map[string]bool{ // and whether it stays
		"note.txt": true, of + "/note.jpg": true, of + "/.part-1": false, of + "/.part-new": true,
	}
	for name := range files {
		path := filepath.Join(at, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
		if name != of+"/.part-new" {
			if err := os.Chtimes(path, old, old); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := f.Each(t.Context(), func(key photo.Key, _ time.Time) error {
		return fmt.Errorf("it lists %v",
			key)
	}); err != nil {
		t.Error(err)
	}
	for name, stays := range files {
		if _, err := os.Stat(filepath.Join(at, name)); (err == nil) != stays {
			t.Errorf("%s: %v", name, err)
		}
	}
}
