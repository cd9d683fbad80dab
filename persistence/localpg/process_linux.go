package localpg

import "syscall"

// dieWithParent has the kernel tell a child to shut down when we are gone, for
// whatever reason.
func dieWithParent() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Pdeathsig: syscall.SIGINT}
}

// inMemory returns the folder for files that live in memory, or nothing where it has less
// room than the clusters of some tests at once take.
func inMemory() []string {
	const dir, tmpfs, enough = "/dev/shm", 0x01021994, 1 << 30
	var at syscall.Statfs_t
	if syscall.Statfs(dir, &at) != nil || at.Type != tmpfs || at.Bavail*uint64(at.Bsize) < enough {
		return nil
	}
	return []string{dir}
}
