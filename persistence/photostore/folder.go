// Package photostore keeps the pictures of photos outside the database: in a
// folder, or in a store that speaks the object interface of S3.
package photostore

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
)

// Folder keeps pictures as files: FIRM/SUM-SIZE.jpg, with the SHA-256 of the
// full size. Only the user that the program runs as can read them.
type Folder struct{ at string }

// NewFolder returns a store in a folder, which it makes if it is missing.
func NewFolder(at string) (*Folder, error) {
	return &Folder{at}, os.MkdirAll(at, 0o700)
}

// name returns the relative path for a key; different keys have different
// names.
func name(key photo.Key) string {
	return path.Join(key.Firm.String(), key.Sum.String()+"-"+string(key.Size)+".jpg")
}

// keyOf parses what name returns; false for anything else.
func keyOf(at string) (key photo.Key, ok bool) {
	of, file := path.Split(at)
	sum, size, _ := strings.Cut(strings.TrimSuffix(file, ".jpg"), "-")
	var errs [3]error
	key.Firm, errs[0] = id.Parse[id.Firm](strings.TrimSuffix(of, "/"))
	key.Sum, errs[1] = room.ParseSum(sum)
	key.Size, errs[2] = photo.ParseSize(size)
	return key, errors.Join(errs[:]...) == nil && name(key) == at
}

func (f *Folder) file(key photo.Key) string {
	return filepath.Join(f.at, filepath.FromSlash(name(key)))
}

// Put implements photo.Store. The file gets its name only once all of it has
// reached the disk.
func (f *Folder) Put(_ context.Context, key photo.Key, data []byte) error {
	file, now := f.file(key), time.Now()
	if os.Chtimes(file, now, now) == nil { // stored already
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return err
	}
	return write(file, data)
}

// write writes a file completely or not at all.
func write(file string, data []byte) (err error) {
	dir := filepath.Dir(file)
	part, err := os.CreateTemp(dir, unfinished+"*") // readable by our user only
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(part.Name()))
		}
	}()
	_, err = part.Write(data)
	if err == nil {
		err = part.Sync()
	}
	if err = errors.Join(err, part.Close()); err != nil {
		return err
	}
	if err = os.Rename(part.Name(), file); err != nil {
		return err
	}
	return syncFolder(dir)
}

// syncFolder makes sure that a file's name has reached the disk, too.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// Get implements photo.Store.
func (f *Folder) Get(_ context.Context, key photo.Key) ([]byte, error) {
	data, err := os.ReadFile(f.file(key))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, photo.NoPicture(err)
	}
	return data, err
}

// Has implements photo.Store.
func (f *Folder) Has(_ context.Context, key photo.Key) (bool, error) {
	_, err := os.Stat(f.file(key))
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// Delete implements photo.Store.
func (f *Folder) Delete(_ context.Context, key photo.Key) error {
	if err := os.Remove(f.file(key)); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// unfinished begins the names of files that are being written.
const unfinished = ".part-"

// Each implements photo.Store. On the way it removes what a killed program left
// unfinished, once that is as old as photo.SweepAge; other files are left
// alone.
func (f *Folder) Each(ctx context.Context, do func(photo.Key, time.Time) error) error {
	return fs.WalkDir(os.DirFS(f.at), ".", func(at string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		info, err := entry.Info()
		if errors.Is(err, fs.ErrNotExist) { // removed meanwhile
			return nil
		} else if err != nil {
			return err
		}
		if strings.HasPrefix(entry.Name(), unfinished) && time.Since(info.ModTime()) > photo.SweepAge {
			return os.Remove(filepath.Join(f.at, filepath.FromSlash(at)))
		}
		if key, ok := keyOf(at); ok {
			return do(key, info.ModTime())
		}
		return nil
	})
}
