package auth

import (
	"strings"
	"testing"
)

func TestDevice(t *testing.T) {
	for agent, want := range map[string]string{
		"": "Unknown device",
		"Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/131.0.0.0 Mobile Safari/537.36":                         "Chrome on Android",
		"Mozilla/5.0 (iPhone; CPU iPhone OS 18_1 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.1 Mobile/15E148 Safari/604.1": "Safari on iPhone",
		"Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/131.0.0.0 Safari/537.36 Edg/131.0.0.0":           "Edge on Windows",
		"Mozilla/5.0 (X11; Linux x86_64; rv:132.0) Gecko/20100101 Firefox/132.0":                                                                  "Firefox on Linux",
		"Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 (KHTML, like Gecko)":                                                "A browser on Mac",
		"curl/8.5.0": "Unknown device",
	} {
		if got := Device(agent); got != want {
			t.Errorf("%q is %q, want %q", agent, got, want)
		}
	}
}

// The examples of RFC 6750, section 2.1, and RFC 9110, section 11.
func TestBearer(t *testing.T) {
	for header, want := range map[string]struct {
		secret string
		there  bool
	}{
		"Bearer mF_9.B5f-4.1JqM":             {"mF_9.B5f-4.1JqM", true},
		"bearer  abc==":                      {"abc==", true},
		"BEARER":                             {"", true},
		"Bearer a b":                         {"", true},
		"Bearer a,b":                         {"", true},
		"Bearer a=b":                         {"", true},
		"Basic QWxhZGRpbjpvcGVuIHNlc2FtZQ==": {"", false},
		"":                                   {"", false},
		"Bearerabc":                          {"", false},
	} {
		if secret, there := Bearer(header); secret != want.secret || there != want.there {
			t.Errorf("%q gives %q, %v", header, secret, there)
		}
	}
}

func FuzzBearer(f *testing.F) {
	for _, seed := range []string{"Bearer mF_9.B5f-4.1JqM", "bearer  abc==", "Basic x", "Bearer \x00"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, header string) {
		secret, there := Bearer(header)
		if !there && secret != "" || !strings.HasSuffix(header, secret) || strings.ContainsAny(secret, " \t\r\n,;\"\x00") {
			t.Errorf("%q gives %q", header, secret)
		}
	})
}

func FuzzDevice(f *testing.F) {
	f.Add("Mozilla/5.0 (Linux; Android 10; K) Chrome/131.0.0.0")
	f.Fuzz(func(t *testing.T, agent string) {
		if got := Device(agent); got == "" || len(got) > 60 {
			t.Errorf("%q is %q", agent, got)
		}
	})
}
