package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/pprof"
	"strconv"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5/pgxpool"
	router "github.com/labstack/echo/v4"

	"lathmark/server"
)

// The variables with which this test binary does something else than testing: the
// program, with the file for its log, and the bare handler, with its database.
const (
	asServer      = "TEST_AS_SERVER"
	asBareHandler = "TEST_AS_BARE_HANDLER"
)

// TestAsServer is no test: it is the server that BenchmarkLoad measures, `lathmark
// serve` without limits on rate.
func TestAsServer(t *testing.T) {
	path := os.Getenv(asServer)
	if path == "" {
		return
	}
	file, err := os.OpenFile(path, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	server.UsualRates = server.Rates{}
	ctx, stop := context.WithCancel(t.Context())
	go obey(stop)
	if status := run(ctx, []string{"serve"}, os.Environ(), strings.NewReader(""), os.Stdout,
		&journal{File: file}); status !=
		statusDone {
		t.Fatalf("it ended with status %d; its log is in %s", status, path)
	}
}

// journal is the log of the server in its file. Its address goes to whoever
// started it as well.
type journal struct {
	*os.File
	told bool
}

var listening = regexp.MustCompile(`"on":"([^"]+)"`)

func (j *journal) Write(line []byte) (int, error) {
	if !j.told && bytes.Contains(line, []byte(`"listening"`)) {
		j.told = true
		fmt.Printf("at http://%s\n", listening.FindSubmatch(line)[1])
	}
	return j.File.Write(line)
}

// TestAsBareHandler is no test: it is the limit that BenchmarkLoad compares pages
// to, one row by its key.
func TestAsBareHandler(t *testing.T) {
	url := os.Getenv(asBareHandler)
	if url == "" {
		return
	}
	ctx, stop := context.WithCancel(t.Context())
	pool, err := pgxpool.New(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer pool.Close()
	e := router.New()
	e.HideBanner, e.HidePort = true, true
	e.GET("/rows/:id", func(c router.Context) error {
		id, err := strconv.Atoi(c.Param("id"))
		if err != nil {
			return router.ErrNotFound
		}
		row := struct {
			ID   int    `json:"id"`
			Name string `json:"name"`
		}{ID: id}
		if err := pool.QueryRow(c.Request().Context(), "select name from row where id = $1", id).Scan(&row.Name); err != nil {
			return err
		}
		return c.JSON(http.StatusOK, row)
	})
	at, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	fmt.Printf("at http://%s\n", at.Addr())
	go obey(stop)
	go func() {
		<-ctx.Done()
		_ = e.Close() // it serves nothing any more
	}()
	if err := http.Serve(at, e); ctx.Err() == nil {
		t.Fatal(err)
	}
}

// obey does what it is told on standard input, and stops where that ends: also
// when whoever started this process was killed.
func obey(stop func()) {
	defer stop()
	orders := bufio.NewScanner(os.Stdin)
	for orders.Scan() {
		if path, profile := strings.CutPrefix(orders.Text(), "profile "); profile {
			file, err := os.Create(path)
			if err == nil {
				err = pprof.StartCPUProfile(file)
			}
			fmt.Println("done", err)
		} else {
			pprof.StopCPUProfile()
			fmt.Println("done", nil)
		}
	}
}

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

// memory is what the process has of the machine's, now and at most, in MB.
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
