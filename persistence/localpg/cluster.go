package localpg

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Superuser is the role that owns a new cluster.
const Superuser = "postgres"

// choose returns the programs for the cluster: those that made it, or the
// newest for a new one.
func choose(all []Programs, cluster string) (Programs, error) {
	text, err := os.ReadFile(filepath.Join(cluster, "PG_VERSION"))
	if os.IsNotExist(err) {
		return all[0], nil
	}
	if err != nil {
		return Programs{}, err
	}
	major, _ := strconv.Atoi(strings.TrimSpace(string(text)))
	for _, p := range all {
		if p.Major == major {
			return p, nil
		}
	}
	return Programs{}, fmt.Errorf(
		"%s was made by PostgreSQL %d and this machine has %d: install version %d, or start over with a fresh folder",
		cluster, major, all[0].Major, major)
}

// create makes the cluster unless it exists. It is made beside its place and
// then moved, so that an interrupted one is never mistaken for a complete one.
func create(ctx context.Context, p Programs, who *account, cluster string, throwaway bool) error {
	if _, err := os.Stat(filepath.Join(cluster, "PG_VERSION")); err == nil {
		return nil
	}
	making := cluster + ".making"
	if err := os.RemoveAll(making); err != nil {
		return err
	}
	if err := who.own(making); err != nil {
		return err
	}
	args := []string{"-D", making, "-U", Superuser, "--locale=C.UTF-8", "-E", "UTF8",
		"--auth=trust", "--no-instructions"}
	if throwaway {
		args = append(args, "--no-sync")
	}
	initdb, err := start(command(p, who, "initdb", args...), nil)
	if err != nil {
		return err
	}
	select {
	case <-initdb.done:
	case <-ctx.Done():
		_ = initdb.stop()
		return ctx.Err()
	}
	if initdb.err != nil {
		return fmt.Errorf("initdb: %w: %s", initdb.err, initdb.said)
	}
	return os.Rename(making, cluster)
}

// discard removes the cluster. It is moved first, because a server that has
// just been killed may still be writing into it; what cannot be removed now
// goes with the next one.
func discard(cluster string) error {
	old := cluster + ".old"
	if err := os.RemoveAll(old); err != nil {
		return err
	}
	if err := os.Rename(cluster, old); err != nil && !os.IsNotExist(err) {
		return err
	}
	_ = os.RemoveAll(old)
	return nil
}
