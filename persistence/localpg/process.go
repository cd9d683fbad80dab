package localpg

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// process is a running postgres.
type process struct {
	cmd  *exec.Cmd
	said *tail
	done chan struct{} // closed once it has ended
	err  error         // how it ended; read it after done
}

// environment returns what PostgreSQL's programs see of our environment: a
// PGDATA, PGPORT or LC_ALL set for something else must not change what they do.
func environment(p Programs) []string {
	return []string{"PATH=" + p.Dir + ":/usr/bin:/bin", "LC_ALL=C.UTF-8", "TZ=UTC"}
}

// command prepares one of PostgreSQL's programs to run as who, in a process
// group of its own, so that a Ctrl-C meant for us does not reach it before we
// have stopped it.
func command(p Programs, who *account, program string, args ...string) *exec.Cmd {
	cmd := exec.Command(filepath.Join(p.Dir, program), args...)
	cmd.Env = environment(p)
	cmd.Dir = "/"
	cmd.SysProcAttr = dieWithParent()
	cmd.SysProcAttr.Setpgid = true
	cmd.SysProcAttr.Credential = who.credential()
	return cmd
}

// start runs cmd. The kernel ends it when the thread that started it ends (see
// dieWithParent), so that thread is kept until the process has ended.
func start(cmd *exec.Cmd, log io.Writer) (*process, error) {
	p := &process{cmd: cmd, said: &tail{to: log}, done: make(chan struct{})}
	cmd.Stdout, cmd.Stderr = p.said, p.said
	cmd.WaitDelay = 5 * time.Second // a stray child may hold on to the pipe
	started := make(chan error)
	go func() {
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		err := cmd.Start()
		started <- err
		if err == nil {
			p.err = cmd.Wait()
			close(p.done)
		}
	}()
	return p, <-started
}

// ready waits until the server in the folder cluster takes connections and is
// this process: a file left by another would lead to another's data.
func (p *process) ready(ctx context.Context, cluster string) error {
	look := time.NewTicker(10 * time.Millisecond)
	defer look.Stop()
	for {
		if pid, status := postmaster(cluster); pid == p.cmd.Process.Pid && status == "ready" {
			return nil
		}
		select {
		case <-look.C:
		case <-p.done:
			return fmt.Errorf("PostgreSQL did not start (%s): %s", p.cmd.ProcessState, p.said)
		case <-ctx.Done():
			return errors.Join(ctx.Err(), p.stop())
		}
	}
}

// postmaster reads the file in which a server states its process (line 1) and
// its status (line 8) (PostgreSQL source, src/include/utils/pidfile.h).
func postmaster(cluster string) (pid int, status string) {
	text, err := os.ReadFile(filepath.Join(cluster, "postmaster.pid"))
	lines := strings.Split(string(text), "\n")
	if err != nil || len(lines) < 8 {
		return 0, ""
	}
	pid, _ = strconv.Atoi(strings.TrimSpace(lines[0]))
	return pid, strings.TrimSpace(lines[7])
}

// heldByPredecessor reports whether the start failed because an earlier server
// on the folder is not quite gone: one that was killed stays in the process
// table until its parent waits for it.
func (p *process) heldByPredecessor() bool {
	said := p.said.String()
	return strings.Contains(said, "lock file") && strings.Contains(said, "already exists") ||
		strings.Contains(said, "pre-existing shared memory block")
}

// stop ends the process: first without waiting for clients to leave ("fast"),
// then, if that hangs, without cleaning up, which costs the next start a
// recovery but no data.
func (p *process) stop() error {
	for _, by := range []struct {
		signal syscall.Signal
		wait   time.Duration
	}{{syscall.SIGINT, 20 * time.Second}, {syscall.SIGQUIT, 5 * time.Second}, {syscall.SIGKILL, 5 * time.Second}} {
		_ = p.cmd.Process.Signal(by.signal) // it may have ended by itself
		select {
		case <-p.done:
			if p.err != nil {
				return fmt.Errorf("PostgreSQL did not end well (%w): %s", p.err, p.said)
			}
			return nil
		case <-time.After(by.wait):
		}
	}
	return errors.New("PostgreSQL cannot be ended")
}
