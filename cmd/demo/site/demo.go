// Package site is the demo: an invented firm with its records, on a PostgreSQL of its own, and
// an OpenID Connect provider where that is asked for. Nothing of it is in the server's program.
package site

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"lathmark/cmd/hosting"
	"lathmark/persistence"
	"lathmark/persistence/localpg"
	"lathmark/server/auth"
	"lathmark/server/oidc"
	"lathmark/web"
)

// options is what the command line says.
type options struct {
	listen, data string
	fresh, oidc  bool
}

// streams are where the demo writes: the answer, and what is said about it.
type streams struct{ out, err io.Writer }

const usage = `Usage: demo [OPTIONS]

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

// Run serves an invented firm, on a PostgreSQL of its own, until ctx is done. It returns the
// exit status: 0 done, 1 the work went wrong, 2 args were not understood.
func Run(ctx context.Context, args, env []string, stdout, stderr io.Writer) (status int) {
	flags := flag.NewFlagSet("demo", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	var o options
	flags.StringVar(&o.listen, "listen", "127.0.0.1:8080", "")
	flags.StringVar(&o.data, "data", demoFolder(os.Geteuid(), env), "")
	flags.BoolVar(&o.fresh, "fresh", false, "")
	flags.BoolVar(&o.oidc, "oidc", false, "")
	err := flags.Parse(args)
	switch {
	case errors.Is(err, flag.ErrHelp):
		fmt.Fprint(stdout, usage)
		return 0
	case err != nil:
		fmt.Fprintf(stderr, "%s\n\n%s", err, usage)
		return 2
	case flags.NArg() > 0:
		fmt.Fprint(stderr, usage)
		return 2
	}
	if err := demo(ctx, streams{stdout, stderr}, o); err != nil {
		fmt.Fprintln(stderr, err)
		return 1
	}
	return 0
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

func demo(ctx context.Context, s streams, o options) (err error) {
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
	all := persistence.NewServices(site.db, time.Now)
	var way auth.SignIn = auth.Demo{Firms: all.Firm, Firm: site.Firm, Try: site.try()}
	if o.oidc {
		way = auth.Links{}
	}
	hub, hush := hosting.Listen(serving, site.db, all, log)
	defer hush()
	err = hosting.Host{Log: log, Drain: 5 * time.Second, Stopping: hub.Close}.Serve(serving, at,
		func(open func() error) http.Handler {
			return hosting.Handler(site.db, all, hub, log, address, nil, providers, open, way)
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
	if !oidc.ThisMachine(host) {
		return fmt.Errorf("%s can be reached from other machines, and in the demo anybody can sign in as anybody; choose "+
			"another address with --listen 127.0.0.1:PORT", listen)
	}
	return nil
}

// announce says where the demo is and how to sign in.
func announce(s streams, address string, o options, site *site, pg *localpg.Server) {
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
