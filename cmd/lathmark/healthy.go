package main

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"time"
)

const healthyUsage = `Usage: lathmark healthy

Asks the server on this machine, at LATHMARK_LISTEN, whether it runs (/healthz): a health check
for where there is no shell.

Exit status: 0 it answers, 1 it does not.

`

var healthySettings = []string{"LATHMARK_LISTEN"}

// healthyWithin is how long the server may take to answer.
const healthyWithin = 3 * time.Second

// runHealthy asks the server of this machine whether it runs.
func runHealthy(ctx context.Context, s streams, args []string) error {
	if len(args) > 0 {
		return usageError("")
	}
	c, err := readConfig(s.env)
	if err != nil {
		return err
	}
	at, err := reached(c.Listen)
	if err != nil {
		return fmt.Errorf("LATHMARK_LISTEN: %w", err)
	}
	ctx, cancel := context.WithTimeout(ctx, healthyWithin)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+at+"/healthz", nil)
	if err != nil {
		return err
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("http://%s/healthz answers %s", at, answer.Status)
	}
	return nil
}

// reached returns the address at which this machine reaches a server that listens on listen:
// one that listens on all addresses is asked on the machine itself.
func reached(listen string) (string, error) {
	host, port, err := net.SplitHostPort(listen)
	if err != nil {
		return "", err
	}
	if ip, err := netip.ParseAddr(host); host == "" || err == nil && ip.IsUnspecified() {
		host = "127.0.0.1"
		if ip.Is6() {
			host = "::1"
		}
	}
	return net.JoinHostPort(host, port), nil
}
