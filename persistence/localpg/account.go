package localpg

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
)

// account is who PostgreSQL runs as; nil means the current user. PostgreSQL
// refuses to run as root, so root has to choose another account for it.
type account struct {
	name     string
	uid, gid uint32
}

// accountFor returns the account to run the cluster under. An existing cluster
// belongs to an account, and PostgreSQL runs under no other.
func accountFor(cluster string) (*account, error) {
	if os.Geteuid() != 0 {
		return nil, nil
	}
	if at, err := os.Stat(cluster); err == nil {
		if owner := at.Sys().(*syscall.Stat_t); owner.Uid != 0 {
			return &account{fmt.Sprintf("user %d", owner.Uid), owner.Uid, owner.Gid}, nil
		}
	}
	for _, name := range []string{"postgres", "nobody"} {
		if u, err := user.Lookup(name); err == nil {
			uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
			gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
			return &account{name, uint32(uid), uint32(gid)}, errors.Join(err1, err2)
		}
	}
	return nil, errors.New("PostgreSQL does not run as root, and there is no user postgres or nobody to run it as")
}

func (a *account) credential() *syscall.Credential {
	if a == nil {
		return nil
	}
	return &syscall.Credential{Uid: a.uid, Gid: a.gid}
}

// own makes folder, closed to everybody but the account. An existing folder is
// taken over if it is empty or was taken over before.
func (a *account) own(folder string) error {
	if err := os.MkdirAll(filepath.Dir(folder), 0o755); err != nil {
		return err
	}
	if err := os.Mkdir(folder, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	if a == nil {
		return nil
	}
	return os.Chown(folder, int(a.uid), int(a.gid))
}

// reach returns an error that names the folder on the way to path that the
// account may not enter. PostgreSQL itself would say "permission denied" about
// its own program.
func (a *account) reach(path string) error {
	if a == nil {
		return nil
	}
	for at := path; ; at = filepath.Dir(at) {
		found, err := os.Stat(at)
		if err == nil && found.IsDir() && !a.mayEnter(found) {
			return fmt.Errorf("PostgreSQL runs as %s, who may not enter %s: choose another folder, or open that one with "+
				"chmod o+x",
				a.name, at)
		}
		if at == filepath.Dir(at) {
			return nil
		}
	}
}

func (a *account) mayEnter(folder fs.FileInfo) bool {
	owner := folder.Sys().(*syscall.Stat_t)
	switch mode := folder.Mode().Perm(); {
	case owner.Uid == a.uid:
		return mode&0o100 != 0
	case owner.Gid == a.gid:
		return mode&0o010 != 0
	default:
		return mode&0o001 != 0
	}
}

// TempDir returns os.TempDir, or another folder for temporary files if that one
// is closed to the account that PostgreSQL would run as.
func TempDir() string { return firstOpen(nil) }

// ThrowawayDir is TempDir for what need not survive: in memory if there is room. Many
// databases are made of many small files, which a disk takes ten times as long to copy.
func ThrowawayDir() string { return firstOpen(inMemory()) }

// firstOpen returns the first of the folders, and of those for temporary files, that the
// account may enter.
func firstOpen(first []string) string {
	who, err := accountFor("")
	if err == nil {
		for _, dir := range append(first, os.TempDir(), "/tmp", "/var/tmp") {
			if _, err := os.Stat(dir); err == nil && who.reach(dir) == nil {
				return dir
			}
		}
	}
	return os.TempDir()
}
