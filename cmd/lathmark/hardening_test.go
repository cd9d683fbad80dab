package main

import (
	"errors"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"lathmark/server"
)

// composed is what docker-compose.yml says of a container.
type composed struct {
	Image       string
	User        string
	ReadOnly    bool     `yaml:"read_only"`
	CapDrop     []string `yaml:"cap_drop"`
	CapAdd      []string `yaml:"cap_add"`
	SecurityOpt []string `yaml:"security_opt"`
	Privileged  bool
	MemLimit    string `yaml:"mem_limit"`
	PidsLimit   int    `yaml:"pids_limit"`
	Ports       []string
	Environment map[string]string
	Networks    yaml.Node
	NetworkMode string `yaml:"network_mode"`
	Volumes     []string
	Command     []string
}

const compose = "../../docker-compose.yml"

func services(t *testing.T) map[string]composed {
	t.Helper()
	var all struct{ Services map[string]composed }
	if err := yaml.Unmarshal([]byte(textOfFile(t, compose)), &all); err != nil {
		t.Fatal(err)
	}
	if len(all.Services) < 4 {
		t.Fatalf("%d services", len(all.Services))
	}
	return all.Services
}

// faults are the bounds that a container lacks.
func (c composed) faults() (out []string) {
	user, _, _ := strings.Cut(c.User, ":")
	if n, err := strconv.Atoi(user); err != nil || n == 0 {
		out = append(out, "user is not a number above 0")
	}
	for _, lack := range []struct {
		so   bool
		what string
	}{
		{!c.ReadOnly, "read_only"},
		{!slices.Equal(c.CapDrop, []string{"ALL"}) || len(c.CapAdd) > 0 || c.Privileged, "cap_drop: [ALL]"},
		{!slices.Contains(c.SecurityOpt, "no-new-privileges:true"), "no-new-privileges"},
		{!regexp.MustCompile(`^[1-9]\d*[mg]$`).MatchString(c.MemLimit), "mem_limit"},
		{c.PidsLimit <= 0, "pids_limit"},
	} {
		if lack.so {
			out = append(out, lack.what)
		}
	}
	return out
}

// No container is root, writes to its own files, gains rights, or takes the whole machine; only
// the proxy is reached from outside.
func TestContainersAreBounded(t *testing.T) {
	for name, c := range services(t) {
		for _, lack := range c.faults() {
			t.Errorf("%s lacks %s", name, lack)
		}
		if len(c.Ports) > 0 != (name == "proxy") {
			t.Errorf("%s publishes %q", name, c.Ports)
		}
	}
	if lacks := (composed{User: "0:0"}).faults(); len(lacks) != 6 {
		t.Errorf("of a container without bounds only %q is missed", lacks)
	}
}

// imageNames are the images that the files of the set-up are made from.
var imageNames = regexp.MustCompile(`(?m)^(?:FROM|\s*image:) +(\S+)`)

// An image is of an exact version, with or without its digest; our own are built here.
func TestImagesAreOfExactVersions(t *testing.T) {
	exact := regexp.MustCompile(`^\S+:v?\d+\.\d+(\.\d+)?(@sha256:[0-9a-f]{64})?$`)
	files, err := filepath.Glob(deploy + "*Dockerfile")
	if err != nil || len(files) != 3 {
		t.Fatalf("%q, %v", files, err)
	}
	for _, file := range append(files, compose) {
		for _, m := range imageNames.FindAllStringSubmatch(textOfFile(t, file), -1) {
			if !exact.MatchString(m[1]) && m[1] != "scratch" && !strings.HasPrefix(m[1], "lathmark") {
				t.Errorf("%s: %s is not of an exact version", file, m[1])
			}
		}
	}
	said(t, "the server's image", textOfFile(t, deploy+"Dockerfile"),
		`HEALTHCHECK --interval=10s --timeout=5s CMD ["/lathmark", "healthy"]`)
}

// What is documented tells people behind the proxy apart, and lets nobody outside say who they are.
func TestProxiesAreSetAsDocumented(t *testing.T) {
	all := services(t)
	var at struct {
		Front struct {
			Address string `yaml:"ipv4_address"`
		}
	}
	node := all["proxy"].Networks
	if err := node.Decode(&at); err != nil {
		t.Fatal(err)
	}
	unit := regexp.MustCompile(`(?m)^Environment=LATHMARK_PROXIES=(.+)$`).FindStringSubmatch(textOfFile(t,
		deploy+"lathmark.service"))
	if unit == nil {
		t.Fatal("the unit sets no LATHMARK_PROXIES")
	}
	for where, c := range map[string]struct{ proxies, proxy string }{
		"compose": {all["server"].Environment["LATHMARK_PROXIES"], at.Front.Address},
		"unit":    {unit[1], "127.0.0.1"},
	} {
		trusted, err := server.Proxies(c.proxies)
		if err != nil || len(trusted) != 1 || trusted[0] != netip.PrefixFrom(netip.MustParseAddr(c.proxy), 32) {
			t.Errorf("%s trusts %q (%v), and the proxy is %s", where, c.proxies, err, c.proxy)
			continue
		}
		t.Run(where, func(t *testing.T) { guessesStayTheirOwn(t, trusted, c.proxy) })
	}
	if text := textOfFile(t, deploy+"Caddyfile"); strings.Contains(text, "\ttrusted_proxies") {
		t.Error("the proxy takes the word of others for where a request comes from")
	}
}

// The unit is as closed as it can be: systemd-analyze, where it is installed, agrees.
func TestTheUnitIsClosed(t *testing.T) {
	unit := textOfFile(t, deploy+"lathmark.service")
	for _, line := range []string{"User=lathmark_server", "UMask=0077", "NoNewPrivileges=yes", "CapabilityBoundingSet=",
		"PrivateUsers=yes", "PrivateTmp=yes", "PrivateDevices=yes", "PrivateMounts=yes", "ProtectSystem=strict",
		"ProtectHome=yes", "ProtectProc=invisible", "ProcSubset=pid", "ProtectClock=yes", "ProtectHostname=yes",
		"ProtectKernelLogs=yes", "ProtectKernelTunables=yes", "ProtectKernelModules=yes", "ProtectControlGroups=yes",
		"RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX", "RestrictNamespaces=yes", "RestrictSUIDSGID=yes",
		"LoadCredentialEncrypted=client_secret",
		"LoadCredentialEncrypted=photos_secret", "LockPersonality=yes", "MemoryDenyWriteExecute=yes",
		"SystemCallFilter=@system-service",
		"SystemCallFilter=~@privileged @resources", "SystemCallArchitectures=native", "MemoryMax=512M", "TasksMax=256"} {
		if !strings.Contains(unit, "\n"+line+"\n") {
			t.Errorf("the unit lacks %s", line)
		}
	}
	out, err := script(t, os.Environ(), "systemd-analyze", "security", "--offline=true", deploy+"lathmark.service")
	if errors.Is(err, exec.ErrNotFound) {
		return
	}
	exposure := regexp.MustCompile(`exposure level for \S+: ([0-9.]+)`).FindStringSubmatch(out)
	if exposure == nil {
		t.Fatalf("%v: %s", err, out)
	}
	if n, err := strconv.ParseFloat(exposure[1], 64); err != nil || n >= 1.5 {
		t.Errorf("the unit's exposure is %s, and has to be under 1.5", exposure[1])
	}
}

// The script that pins images writes the digests that were looked up, again and again, and nothing
// where one was not.
func TestPinScript(t *testing.T) {
	top := t.TempDir()
	if err := os.CopyFS(filepath.Join(top, "deploy"), os.DirFS(deploy)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(top, "docker-compose.yml"), []byte(textOfFile(t, compose)), 0o644); err != nil {
		t.Fatal(err)
	}
	files := []string{"docker-compose.yml", "deploy/Dockerfile", "deploy/proxy.Dockerfile", "deploy/accounts.Dockerfile"}
	read := func() (all string) {
		for _, f := range files {
			all += textOfFile(t, filepath.Join(top, f))
		}
		return all
	}
	pin := func(answer string) (string, error) {
		return script(t, []string{"PATH=" + tools(t, map[string]string{"docker": answer}) + ":/usr/bin:/bin"}, "sh",
			filepath.Join(top, "deploy/pin.sh"))
	}
	before := read()
	if said, err := pin("no such registry"); err == nil || !strings.Contains(said, "nothing is changed") ||
		read() != before {
		t.Errorf("an answer that is no digest: %v, %s", err, said)
	}
	for _, digit := range []string{"1", "2"} {
		digest := "sha256:" + strings.Repeat(digit, 64)
		if said, err := pin(digest); err != nil {
			t.Fatalf("%v: %s", err, said)
		}
		n := 0
		for _, m := range imageNames.FindAllStringSubmatch(read(), -1) {
			if m[1] == "scratch" || strings.HasPrefix(m[1], "lathmark") {
				continue
			}
			if n++; !strings.HasSuffix(m[1], "@"+digest) {
				t.Errorf("%s is not pinned to %s", m[1], digest)
			}
		}
		if bare := strings.ReplaceAll(read(), "@"+digest, ""); n < 4 || bare != before {
			t.Errorf("%d images are pinned, and the files are else as they were: %v", n, bare == before)
		}
	}
}
