//go:build unix && !linux

package localpg

import "syscall"

// endWithUs can do nothing here: after a kill the next start says who holds the folder.
func endWithUs() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{}
}
