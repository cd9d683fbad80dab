package localpg

import "syscall"

// dieWithParent has the kernel tell a child to shut down when we are gone, for
// whatever reason.
func dieWithParent() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Pdeathsig: syscall.SIGINT}
}
