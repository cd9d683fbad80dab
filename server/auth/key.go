package auth

import (
	"net/http"
	"strings"

	"lathmark/domain/fault"

	"github.com/labstack/echo/v4"
)

// Bearer returns the secret of a header Authorization of the scheme Bearer (RFC
// 6750, section 2.1; the scheme's case does not count, RFC 9110, section 11.1).
// there reports whether the header is that of a bearer at all; secret is empty
// where it is one that is not written as it should be.
func Bearer(header string) (secret string, there bool) {
	scheme, rest, _ := strings.Cut(header, " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return "", false
	}
	rest = strings.TrimLeft(rest, " ")
	for _, r := range strings.TrimRight(rest, "=") {
		if !strings.ContainsRune("-._~+/", r) && (r < '0' || r > '9') && (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') {
			return "", true
		}
	}
	return rest, true
}

// ReadKey finds out who asks, for the API alone: by a key where the request
// brings one, else by the session. A request with a key has no session, whatever
// cookies it brings; one whose key is not good is nobody's.
func (s *Sessions) ReadKey(next echo.HandlerFunc) echo.HandlerFunc {
	session := s.Read(next)
	return func(c echo.Context) error {
		secret, there := Bearer(c.Request().Header.Get(echo.HeaderAuthorization))
		if !there {
			return session(c)
		}
		got, err := s.firms.AuthenticateKey(c.Request().Context(), secret)
		if fault.KindOf(err) == fault.NotFound {
			c.Set(unknownKey, true)
			c.Response().Header().Set(echo.HeaderWWWAuthenticate, `Bearer error="invalid_token"`) // RFC 6750, section 3.1
			return ErrNobody
		}
		if err != nil {
			return err
		}
		c.Set(askerKey, Asker{got.Person, got.FirmName, got.Zone, got})
		return next(c)
	}
}

// unknownKey is where a request has that its key is not good.
const unknownKey = "lathmark.unknown key"

// KeyUnknown reports whether ReadKey found that a request's key is nobody's.
func KeyUnknown(c echo.Context) bool { return c.Get(unknownKey) != nil }

// HasKey reports whether a request asks with a key. A browser adds none of itself,
// so that no other site can make it send one.
func HasKey(r *http.Request) bool {
	_, there := Bearer(r.Header.Get(echo.HeaderAuthorization))
	return there
}
