package localpg

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
)

// The test binary plays the launcher when this is set to a data folder.
const asLauncher = "LOCALPG_TEST_LAUNCHER"

func TestMain(m *testing.M) {
	if data := os.Getenv(asLauncher); data != "" {
		os.Exit(launcher(data))
	}
	os.Exit(m.Run())
}

// launcher runs a server until its input ends. It prints the server's URL, or why there is none.
func launcher(data string) int {
	s, err := Start(context.Background(), Options{Data: data, Throwaway: true})
	if err != nil {
		fmt.Println(err)
		return 1
	}
	fmt.Println(s.URL("postgres", Superuser))
	_, _ = io.Copy(io.Discard, os.Stdin)
	if err := s.Stop(); err != nil {
		fmt.Println(err)
		return 1
	}
	return 0
}

// child is a launcher in a process of its own.
type child struct {
	cmd  *exec.Cmd
	in   io.Closer
	said string // its first line
}

// launch starts a launcher on data, as another user if as is not nil.
func launch(t *testing.T, data string, as *syscall.Credential) *child {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	if as != nil { // the go command builds tests in a folder that others may not enter
		self = copied(t, self)
	}
	c := &child{cmd: exec.Command(self)}
	c.cmd.Env = append(os.Environ(), asLauncher+"="+data)
	c.cmd.Dir = "/"
	c.cmd.Stderr = os.Stderr
	c.cmd.SysProcAttr = &syscall.SysProcAttr{Credential: as}
	if c.in, err = c.cmd.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	out, err := c.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = c.cmd.Process.Kill() // it may have ended long ago
		_ = c.cmd.Wait()
	})
	c.said, err = bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatalf("the launcher said %q: %v", c.said, err)
	}
	return c
}

func copied(t *testing.T, program string) string {
	t.Helper()
	body, err := os.ReadFile(program)
	if err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(folder(t), "launcher")
	if err := os.WriteFile(to, body, 0o755); err != nil {
		t.Fatal(err)
	}
	return to
}

// folder is like t.TempDir, but the account that PostgreSQL runs as may enter
// it.
func folder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp(TempDir(), "localpg")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(dir); err != nil {
			t.Error(err)
		}
	})
	return dir
}
