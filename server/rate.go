package server

import (
	"cmp"
	"crypto/sha256"
	"net/http"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/recent"
	"lathmark/server/auth"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
	"golang.org/x/time/rate"
)

// Rates limits how often clients may ask. The zero Rates sets no limit.
type Rates struct {
	// Session is for requests with one session, key or link, Address for all
	// from one address that bring none that is good.
	Session, Address Rate
	// Miss is for an address that tries secrets: it counts those that lead
	// nowhere. A good one from there is let in all the same.
	Miss Rate
}

// Rate is how often something may happen in the long run, and how often at once.
type Rate struct {
	Every time.Duration
	Burst int
}

// UsualRates are the program's own. A page with all that belongs to it is some
// ten requests; a site's phones may share one address.
var UsualRates = Rates{
	Session: Rate{50 * time.Millisecond, 300},
	Address: Rate{10 * time.Millisecond, 1500},
	Miss:    Rate{20 * time.Second, 20},
}

// maxRemembered is how many sessions, and how many addresses, a meter remembers
// at once: some 3 MB. It forgets those that it has not seen for longest.
const maxRemembered = 20_000

// meter decides for each of many clients whether it asks too often. Its memory
// is bounded. It is safe for concurrent use.
type meter struct {
	Rate
	by recent.Cache[string, *rate.Limiter]
}

func newMeter(r Rate, most int) *meter {
	return &meter{Rate: r, by: recent.Cache[string, *rate.Limiter]{Most: most}}
}

func (m *meter) of(name string) *rate.Limiter {
	return m.by.Own(name, 1, func() *rate.Limiter { return rate.NewLimiter(rate.Every(m.Every), m.Burst) })
}

// take takes n from a client's allowance, and returns how long the client has
// to wait if there is not enough. With n 0 it only checks whether there is one
// left.
func (m *meter) take(name string, n int, at time.Time) (wait time.Duration, ok bool) {
	if m.Burst == 0 {
		return 0, true
	}
	limit := m.of(name)
	if n == 0 && limit.TokensAt(at) < 1 || !limit.AllowN(at, n) {
		return m.Every, false
	}
	return 0, true
}

// owe takes n more from a client's allowance, whether there is enough or not.
func (m *meter) owe(name string, n int, at time.Time) {
	if m.Burst > 0 && n > 0 {
		m.of(name).ReserveN(at, min(n, m.Burst))
	}
}

// limitRate turns away clients that ask too often: 429 (RFC 6585, section 4),
// with when to try again (Retry-After, RFC 9110, section 10.2.3). What is
// served from memory costs nothing and is not counted.
//
// Nobody is kept waiting by what others try. Whoever brings a link, a code, a key, or a
// session that was good before is counted by that alone, and so is not turned away for
// what else comes from the same address. A secret that turns out to be nobody's counts
// against the address, and is told so. Secrets have 256
// random bits (firm.NewToken): at 100 guesses a second from each of a million addresses one
// of a million is found in some 10^55 years. What the limits save is work, not secrets.
func (s *server) limitRate(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		path, now := c.Request().URL.Path, s.Now()
		if strings.HasPrefix(path, "/static/") || path == "/healthz" || path == "/readyz" {
			return next(c)
		}
		from, secret := auth.Network(c), s.secretOf(c)
		name := hashed(secret)
		if _, good := s.good.Get(name); !good && !looksUp(c) {
			if wait, ok := s.addresses.take(from, 1, now); !ok {
				return tooManyRequests(c, wait)
			}
		}
		if secret != "" {
			if wait, ok := s.askers.take(name, 1, now); !ok {
				return tooManyRequests(c, wait)
			}
		}
		counted := false
		c.Response().Before(func() { // a page that says itself that a link leads nowhere
			if !counted && guessed(c, nil) {
				if wait, ok := s.misses.take(from, 1, now); !ok {
					_ = tooManyRequests(c, wait) // its header
					c.Response().Status = http.StatusTooManyRequests
				}
			}
		})
		err := next(c)
		if counted = err != nil && guessed(c, err); counted {
			if wait, ok := s.misses.take(from, 1, now); !ok {
				return tooManyRequests(c, wait)
			}
		}
		s.askers.owe(name, kit.CostOf(c), now)
		if _, in := auth.Who(c); in {
			s.good.Put(name, struct{}{}, 1, nil)
			if s.from.saw(from, name) {
				s.log.WarnContext(c.Request().Context(), "everybody comes from one address: if there is a proxy in front, "+
					"name it in LATHMARK_PROXIES, so that people do not share one limit", "people", crowd)
			}
		}
		return err
	}
}

// secretOf returns what a request asks with: a key, a session, a link or a code; empty
// where it asks with nothing.
func (s *server) secretOf(c echo.Context) string {
	return cmp.Or(s.sessions.Named(c), c.Param("token"), c.Param("link"))
}

// looksUp reports whether a request brings a secret that somebody could guess, a link or a
// key, to where it is looked up. To look at the page of a one-time link is not to use it.
func looksUp(c echo.Context) bool {
	return auth.HasKey(c.Request()) || c.Param("link") != "" || c.Param("token") != "" &&
		(c.Request().Method != http.MethodGet || c.Path() != web.OneTimeLinkPath+":token")
}

// guessed reports whether a request brought a secret that nobody has: a key that lets
// nobody in, or a link that leads nowhere. With a good one whatever is not there is no guess.
func guessed(c echo.Context, err error) bool {
	if auth.KeyUnknown(c) {
		return true
	}
	if c.Param("token") == "" && c.Param("link") == "" {
		return false
	}
	status := c.Response().Status
	if err != nil {
		status = Status(err)
	}
	return status == http.StatusNotFound
}

func tooManyRequests(c echo.Context, wait time.Duration) error {
	c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(int(wait/time.Second)+1))
	return echo.ErrTooManyRequests
}

// hashed identifies a secret in the meters without storing it.
func hashed(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return string(sum[:16])
}
