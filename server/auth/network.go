package auth

import (
	"net/netip"

	"github.com/labstack/echo/v4"
)

// Network returns what counts as the one address that a request comes from: the first 64
// bits of an IPv6 address, which is what one household is given (RFC 6177, section 2: at
// least a /64).
func Network(c echo.Context) string {
	a, err := netip.ParseAddr(c.RealIP())
	if err != nil || a.Is4() {
		return c.RealIP()
	}
	return netip.PrefixFrom(a.WithZone(""), 64).Masked().String()
}
