// Command demo runs a server with an invented firm, for a look at Lathmark.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"lathmark/cmd/demo/site"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends us as it would any program
	status := site.Run(ctx, os.Args[1:], os.Environ(), os.Stdout, os.Stderr)
	stop()
	os.Exit(status)
}
