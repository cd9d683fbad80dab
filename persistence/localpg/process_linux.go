package localpg

import "syscall"

// endWithUs has the kernel tell a child to shut down when we are gone, however we went.
func endWithUs() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Pdeathsig: syscall.SIGINT}
}
