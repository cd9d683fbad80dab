package main

import (
	"crypto/tls"
	"fmt"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"lathmark/server/oidc"
)

// unheard refuses a database's address by which records could be read or answered by somebody
// on the way: what goes over a network goes by TLS, to a certificate that is checked. What
// else is wrong with the address is said by whoever opens it.
func unheard(name, address string) error {
	var ways []*pgconn.FallbackConfig
	if c, err := pgx.ParseConfig(address); err == nil && address != "" {
		ways = append(c.Fallbacks, &pgconn.FallbackConfig{Host: c.Host, Port: c.Port, TLSConfig: c.TLSConfig})
	}
	for _, way := range ways {
		network, _ := pgconn.NetworkAddress(way.Host, way.Port)
		if network != "unix" && !oidc.ThisMachine(way.Host) && !checked(way.TLSConfig) {
			return fmt.Errorf("%s: %s is reached over a network, where others could read the records or answer for the "+
				"database: add sslmode=verify-full to the address, and sslrootcert=FILE where the certificate is of an "+
				"authority of your own; or, with the database on this machine, take its socket, host=/run/postgresql",
				name, way.Host)
		}
	}
	return nil
}

// checked reports whether the other end has to show a certificate for its name.
func checked(c *tls.Config) bool { return c != nil && !c.InsecureSkipVerify && c.ServerName != "" }
