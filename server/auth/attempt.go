package auth

import (
	"net/http"

	"lathmark/domain/firm"

	"github.com/labstack/echo/v4"
)

// Attempt is the cookie of an attempt to sign in with a provider; empty for none.
func (s *Sessions) Attempt(c echo.Context) string {
	cookie, err := c.Cookie(s.attempt())
	if err != nil {
		return ""
	}
	return cookie.Value
}

// SetAttempt returns the browser an attempt to keep for as long as it may take;
// empty: takes it back. It comes back with what another site leads to, as the
// provider does, because SameSite is Lax.
func (s *Sessions) SetAttempt(c echo.Context, value string) {
	cookie := s.cookie(value, int(firm.AttemptLifetime.Seconds()))
	if value == "" {
		cookie.MaxAge = -1
	}
	cookie.Name = s.attempt()
	http.SetCookie(c.Response(), cookie)
}

func (s *Sessions) attempt() string { return s.name() + "-attempt" }
