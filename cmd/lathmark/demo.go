package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"lathmark/persistence"
	"lathmark/persistence/localpg"
	"lathmark/server/auth"
	"lathmark/server/oidc"
	"lathmark/web"
)

// demoOptions is what the command line of the demo says.
type demoOptions struct {
	listen, data string
	fresh, oidc  bool
}

const demoUsage = `Usage: lathmark demo [OPTIONS]

Runs a server with an invented firm, on a PostgreSQL of its own.

  -data FOLDER
    	the FOLDER for everything the demo keeps
  -fresh
    	delete what is in the folder and start over
  -listen HOST:PORT
    	where to listen, HOST:PORT (default 127.0.0.1:8080)
  -oidc
    	sign in with an account, by OpenID Connect, at a provider that the demo starts on the next port
`

// runDemo serves an invented firm on a PostgreSQL of its own.
func runDemo(ctx context.Context, s streams, args []string) error {
	flags := flag.NewFlagSet("demo", flag.ContinueOnError)
	var o demoOptions
	flags.StringVar(&o.listen, "listen", "127.0.0.1:8080", "")
	flags.StringVar(&o.data, "data", demoFolder(os.Geteuid(), s.env), "")
	flags.BoolVar(&o.fresh, "fresh", false, "")
	flags.BoolVar(&o.oidc, "oidc", false, "")
	if err := parse(flags, args); err != nil {
		return err
	}
	return demo(ctx, s, o)
}

// demoFolder returns where the demo keeps its files unless told otherwise. PostgreSQL does not
// run as root, and whom root runs it as may not enter root's home.
func demoFolder(user int, env []string) string {
	if user == 0 {
		return "/var/lib/lathmark/demo"
	}
	at := map[string]string{}
	for _, pair := range env {
		name, value, _ := strings.Cut(pair, "=")
		at[name] = value
	}
	if filepath.IsAbs(at["XDG_DATA_HOME"]) {
		return filepath.Join(at["XDG_DATA_HOME"], "lathmark", "demo")
	}
	if filepath.IsAbs(at["HOME"]) {
		return filepath.Join(at["HOME"], ".local", "share", "lathmark", "demo")
	}
	return filepath.Join(os.TempDir(), fmt.Sprintf("lathmark-demo-%d", user))
}

func demo(ctx context.Context, s streams, o demoOptions) (err error) {
	if o.data, err = filepath.Abs(o.data); err != nil {
		return err
	}
	if err := onThisMachine(o.listen); err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(s.err, &slog.HandlerOptions{Level: slog.LevelWarn}))
	// Before anything else, so that a port in use costs no waiting.
	at, err := (&net.ListenConfig{}).Listen(ctx, "tcp", o.listen)
	if err != nil {
		return fmt.Errorf("%w; choose another address with --listen 127.0.0.1:PORT", err)
	}
	defer at.Close()
	pg, err := localpg.Start(ctx, localpg.Options{Data: o.data, Fresh: o.fresh})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, pg.Stop()) }()
	site, err := openSite(ctx, pg, filepath.Join(o.data, "photos"), func() {
		fmt.Fprintln(s.err, "Making the demo's records: six weeks of work in ten rooms. This happens once and takes about "+
			"half a minute.")
	})
	if err != nil {
		return err
	}
	defer site.db.Close()

	address := "http://" + at.Addr().String()
	serving, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	go func() {
		<-pg.Done()
		stop(errors.New("the demo's PostgreSQL ended of itself"))
	}()
	var providers *oidc.Providers
	if o.oidc {
		if providers, err = accounts(serving, s.out, site, at.Addr(), log); err != nil {
			return err
		}
	}
	announce(s, address, o, site, pg)
	hub, hush := listen(serving, site.db, log)
	defer hush()
	err = host{log: log, drain: 5 * time.Second, stopping: hub.Close}.serve(serving, at,
		func(open func() error) http.Handler {
			return handler(site.db, hub, log, address, nil, providers, open, func(all persistence.Services) auth.SignIn {
				if o.oidc {
					return auth.Links{}
				}
				return auth.Demo{Firms: all.Firm, Firm: site.Firm, Try: site.try()}
			})
		})
	if ctx.Err() == nil { // nobody told us to stop
		err = errors.Join(err, context.Cause(serving))
	}
	return err
}

// onThisMachine refuses addresses that other machines can reach: the demo takes people's
// word for who they are.
func onThisMachine(listen string) error {
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return fmt.Errorf("%w; choose another address with --listen 127.0.0.1:PORT", err)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return fmt.Errorf("%s can be reached from other machines, and in the demo anybody can sign in as anybody; choose another "+
			"address with --listen 127.0.0.1:PORT", listen)
	}
	return nil
}

// announce says where the demo is and how to sign in.
func announce(s streams, address string, o demoOptions, site *site, pg *localpg.Server) {
	fmt.Fprintf(s.out, `Lathmark's demo is at %s

Open it in a browser and sign in as one of the people of %s, an invented firm:
`, address, site.Name)
	columns := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	for _, p := range site.People {
		fmt.Fprintf(columns, "  %s, %s\t%s\n", p.Name, p.Role, p.Try)
	}
	columns.Flush()
	fmt.Fprint(s.out, "\nWhat the clients see, at their private links:\n")
	for _, l := range site.Links {
		fmt.Fprintf(s.out, "  %s  %s%s%s\n", l.Job, address, web.ProgressPath, l.Token)
	}
	fmt.Fprintf(s.out, `
For programs, the API is described at %s/api/v1/openapi.json

To look into its database, and to check its records against its diary:
  %s
  LATHMARK_DATABASE='%s' lathmark diary check

Its files are in %s. Stop it with Ctrl-C: what you recorded stays.
To start over, run it with --fresh.
`, address, pg.Psql(siteDatabase, localpg.Superuser), pg.URL(siteDatabase, localpg.Superuser), o.data)
}
