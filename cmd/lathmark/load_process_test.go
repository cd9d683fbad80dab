package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// process is this test binary as something else.
type process struct {
	cmd    *exec.Cmd
	orders io.WriteCloser
	says   *bufio.Scanner
	at     string // http://...
	over   bool
}

// start starts this test binary as one of the above and waits until it answers. It
// ends with b.
func start(b *testing.B, as string, env ...string) *process {
	b.Helper()
	p := &process{cmd: exec.Command(os.Args[0], "-test.run=^"+as+"$")}
	for _, pair := range os.Environ() {
		if !strings.HasPrefix(pair, prefix) {
			p.cmd.Env = append(p.cmd.Env, pair)
		}
	}
	p.cmd.Env, p.cmd.Stderr = append(p.cmd.Env, env...), os.Stderr
	out, err := p.cmd.StdoutPipe()
	if err == nil {
		p.orders, err = p.cmd.StdinPipe()
	}
	if err == nil {
		err = p.cmd.Start()
	}
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { p.end(b) })
	p.says = bufio.NewScanner(out)
	p.at = p.hears(b, "at ")
	return p
}

// hears waits for a line of the process and returns what follows its beginning.
func (p *process) hears(b *testing.B, beginning string) string {
	b.Helper()
	var all []string
	for p.says.Scan() {
		if rest, found := strings.CutPrefix(p.says.Text(), beginning); found {
			return rest
		}
		all = append(all, p.says.Text())
	}
	b.Fatalf("%s ended: %s", p.cmd.Args[1], strings.Join(all, "\n"))
	return ""
}

// order has the process do something and waits until it is done.
func (p *process) order(b *testing.B, what string) {
	b.Helper()
	if _, err := fmt.Fprintln(p.orders, what); err != nil {
		b.Fatal(err)
	}
	if err := p.hears(b, "done "); err != "<nil>" {
		b.Fatalf("%s: %s", what, err)
	}
}

// end stops the process and waits for it.
func (p *process) end(b *testing.B) {
	b.Helper()
	if p.over {
		return
	}
	p.over = true
	_ = p.orders.Close()
	for p.says.Scan() { // what it says at its end
	}
	if err := p.cmd.Wait(); err != nil {
		b.Errorf("%s: %v", p.cmd.Args[1], err)
	}
}

// memory returns what the process has of the machine's, now and at most, in MB.
func (p *process) memory(b *testing.B) (now, most float64) {
	b.Helper()
	text, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(p.cmd.Process.Pid), "status"))
	if err != nil {
		b.Fatal(err)
	}
	for _, line := range strings.Split(string(text), "\n") {
		name, rest, _ := strings.Cut(line, ":")
		kB, _ := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 64)
		switch name {
		case "VmRSS":
			now = kB / 1024
		case "VmHWM":
			most = kB / 1024
		}
	}
	return now, most
}
