package server

import (
	"net/http"
	"net/http/httptest"
	"net/netip"
	"testing"
)

func TestWhereARequestComesFrom(t *testing.T) {
	proxies, err := Proxies("10.0.0.0/8, 2001:db8:1::5")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		remote    string
		forwarded []string
		want      string
	}{
		{"192.0.2.1:9", nil, "192.0.2.1"},
		{"192.0.2.1:9", []string{"203.0.113.9"}, "192.0.2.1"}, // said by a stranger
		{"10.0.0.5:9", []string{"203.0.113.9"}, "203.0.113.9"},
		{"10.0.0.5:9", []string{"198.51.100.1, 203.0.113.9"}, "203.0.113.9"},
		{"10.0.0.5:9", []string{"198.51.100.1", "203.0.113.9, 10.9.9.9"}, "203.0.113.9"},
		{"10.0.0.5:9", nil, "10.0.0.5"},
		{"10.0.0.5:9", []string{"unknown"}, "10.0.0.5"},
		{"10.0.0.5:9", []string{"198.51.100.1, not an address"}, "10.0.0.5"},
		{"[2001:db8:1::5]:9", []string{"2001:db8:2::7"}, "2001:db8:2::7"},
		{"[::ffff:10.0.0.5]:9", []string{"::ffff:203.0.113.9"}, "203.0.113.9"},
		{"@", []string{"203.0.113.9"}, ""},
	} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.RemoteAddr = c.remote
		r.Header["X-Forwarded-For"] = c.forwarded
		if got := addressOf(proxies)(r); got != c.want {
			t.Errorf("%s by %v comes from %q, want %q", c.remote, c.forwarded, got, c.want)
		}
	}
	for _, bad := range []string{"10.0.0.0/33", "proxy.example", "10.0.0"} {
		if _, err := Proxies(bad); err == nil {
			t.Errorf("%q is read as a list of proxies", bad)
		}
	}
}

// Whatever strangers send, they are not taken for somebody else; and whatever
// is sent through a proxy, the result is an address.
func FuzzForwarded(f *testing.F) {
	for _, seed := range []string{"203.0.113.9", "198.51.100.1, 203.0.113.9", "unknown, ,", "fe80::1%eth0", "[::1]:80",
		"10.0.0.1,10.0.0.2"} {
		f.Add(seed)
	}
	proxies, _ := Proxies("10.0.0.0/8")
	f.Fuzz(func(t *testing.T, header string) {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("X-Forwarded-For", header)
		r.RemoteAddr = "192.0.2.1:9"
		if got := addressOf(proxies)(r); got != "192.0.2.1" {
			t.Errorf("a stranger comes from %q", got)
		}
		r.RemoteAddr = "10.0.0.5:9"
		got := addressOf(proxies)(r)
		if a, err := netip.ParseAddr(got); err != nil || a.Zone() != "" {
			t.Errorf("%q comes from %q", header, got)
		}
	})
}

func FuzzProxies(f *testing.F) {
	for _, seed := range []string{"10.0.0.0/8, ::1", "", ",", "1.2.3.4/0"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		all, err := Proxies(text)
		for _, p := range all {
			if err == nil && !p.IsValid() {
				t.Errorf("%q has the network %v", text, p)
			}
		}
	})
}
