package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"net"
	"net/http"
	"os"
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
		_ = at.Close() // whom it answers has gone
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
