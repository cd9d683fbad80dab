//go:build unix && !linux

package localpg

import "syscall"

// dieWithParent can do nothing here: after a kill, the next start reports that
// the folder is in use.
func dieWithParent() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{}
}

// inMemory returns nothing: no folder is known to be in memory.
func inMemory() []string { return nil }
