package site

import (
	"os"
	"path/filepath"
	"testing"
)

func TestDemoFolder(t *testing.T) {
	for _, c := range []struct {
		user int
		env  []string
		want string
	}{
		{0, []string{"HOME=/root"}, "/var/lib/lathmark/demo"},
		{1000, []string{"HOME=/home/ada"}, "/home/ada/.local/share/lathmark/demo"},
		{1000, []string{"HOME=/home/ada", "XDG_DATA_HOME=/srv/ada"}, "/srv/ada/lathmark/demo"},
		{1000, nil, filepath.Join(os.TempDir(), "lathmark-demo-1000")},
	} {
		if got := demoFolder(c.user, c.env); got != c.want {
			t.Errorf("user %d with %q: %s, want %s", c.user, c.env, got, c.want)
		}
	}
}
