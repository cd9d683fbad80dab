package server

import (
	"net"
	"net/netip"
	"strings"

	"github.com/labstack/echo/v4"
)

// Proxies parses a list of networks, such as "10.0.0.0/8, 2001:db8::1", that
// are trusted to say where a request comes from. A single address is a network
// of one.
func Proxies(text string) (out []netip.Prefix, err error) {
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' }) {
		p, err := netip.ParsePrefix(part)
		if err != nil {
			a, err := netip.ParseAddr(part)
			if err != nil {
				return nil, err
			}
			p = netip.PrefixFrom(a, a.BitLen())
		}
		out = append(out, p.Masked())
	}
	return out, nil
}

// addressOf returns a function that finds where a request comes from: the
// connection's other end, or, if that is one of our proxies, the last address
// in X-Forwarded-For that is not a proxy. Anybody could have written what is
// before that one. With an entry that is not an address the header says nothing.
func addressOf(proxies []netip.Prefix) echo.IPExtractor {
	trusted := []echo.TrustOption{echo.TrustLoopback(false), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false)}
	for _, p := range proxies {
		trusted = append(trusted, echo.TrustIPRange(&net.IPNet{IP: p.Addr().AsSlice(),
			Mask: net.CIDRMask(p.Bits(), p.Addr().BitLen())}))
	}
	return echo.ExtractIPFromXFFHeader(trusted...)
}
