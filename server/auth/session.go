package auth

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"

	"github.com/labstack/echo/v4"
)

// Sessions reads and writes the session's cookie.
type Sessions struct {
	firms  *firm.Service
	secure bool
	// Look returns how the session of a request is looked for; nil, as it returns
	// for most: as usual.
	Look func(echo.Context) firm.Look
}

// NewSessions makes it. secure is for a server that people reach by https: the
// cookie then goes over nothing else and to no other host.
func NewSessions(firms *firm.Service, secure bool) *Sessions {
	return &Sessions{firms: firms, secure: secure}
}

// Asker is who asks, with the name of the firm for the title block and its zone.
type Asker struct {
	firm.Person
	FirmName string
	Zone     words.Zone // the firm's
	// Session is the one of the request; its id is zero where a key asks.
	Session firm.Session
}

const askerKey = "lathmark.asker"

// Who returns the person who asks; false for nobody.
func Who(c echo.Context) (Asker, bool) {
	a, ok := c.Get(askerKey).(Asker)
	return a, ok
}

// Read finds out who asks, before anything else happens. A session that has
// ended is nobody.
func (s *Sessions) Read(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		cookie, err := c.Cookie(s.name())
		if err != nil {
			return next(c)
		}
		got, err := s.authenticate(c, cookie.Value)
		if fault.KindOf(err) == fault.NotFound {
			return next(c)
		}
		if err != nil {
			return err
		}
		c.Set(askerKey, Asker{got.Person, got.FirmName, got.Zone, got})
		return next(c)
	}
}

func (s *Sessions) authenticate(c echo.Context, session string) (firm.Session, error) {
	if s.Look != nil {
		if look := s.Look(c); look != nil {
			return s.firms.AuthenticateBy(c.Request().Context(), session, look)
		}
	}
	return s.firms.Authenticate(c.Request().Context(), session)
}

// Still reports whether a request that lasts is still that of the person whom
// Read found: ErrNobody where the session has ended meanwhile, or the person
// has another part in the firm now.
func (s *Sessions) Still(c echo.Context) error {
	a, ok := Who(c)
	cookie, err := c.Cookie(s.name())
	if !ok || err != nil {
		return ErrNobody
	}
	p, err := s.firms.Session(c.Request().Context(), cookie.Value)
	if fault.KindOf(err) == fault.NotFound || err == nil && (p.ID != a.ID || p.Role != a.Role) {
		return ErrNobody
	}
	return err
}

// Named returns what a request asks with, a key or a session, whether it is good
// or not; empty where it asks with nothing. It is a secret.
func (s *Sessions) Named(c echo.Context) string {
	if secret, there := Bearer(c.Request().Header.Get(echo.HeaderAuthorization)); there {
		return secret
	}
	if cookie, err := c.Cookie(s.name()); err == nil {
		return cookie.Value
	}
	return ""
}

// Need turns nobody away.
func Need(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if _, ok := Who(c); !ok {
			return ErrNobody
		}
		return next(c)
	}
}

// Begin hands out a session and ends the one there was, so that nobody can be
// given a session that somebody else knows. Every sign-in ends here. The browser
// keeps the cookie as long as the firm lets a session last.
func (s *Sessions) Begin(c echo.Context, session string) error {
	leaveNothing(c)
	if err := s.endStored(c); err != nil {
		return err
	}
	got, err := s.firms.NameDevice(c.Request().Context(), session, Device(c.Request().UserAgent()))
	if err != nil {
		return err
	}
	c.SetCookie(s.cookie(session, int(got.EndsAt.Sub(got.CreatedAt).Seconds())))
	c.Set(cameKey, got.Person.ID)
	return nil
}

const cameKey = "lathmark.came"

// Came returns who signed in with this very request; false for nobody.
func Came(c echo.Context) (id.Member, bool) {
	who, ok := c.Get(cameKey).(id.Member)
	return who, ok
}

// End ends the session, in the browser and in the store.
func (s *Sessions) End(c echo.Context) error {
	leaveNothing(c)
	c.SetCookie(s.cookie("", -1))
	return s.endStored(c)
}

// leaveNothing has the browser throw away what it keeps of the pages before, those that
// Back leads to among them (Clear Site Data, section 3.1). Not "storage": records that wait
// unsent on a phone are in there, hidden from everybody but their person, and the worker
// throws the copy away itself.
func leaveNothing(c echo.Context) { c.Response().Header().Set("Clear-Site-Data", `"cache"`) }

func (s *Sessions) endStored(c echo.Context) error {
	old, err := c.Cookie(s.name())
	if err != nil {
		return nil //nolint:nilerr // no cookie, no session
	}
	return s.firms.EndSession(c.Request().Context(), old.Value)
}

// name has the prefix with which a browser takes the cookie over https from
// this very host only (RFC 6265bis, section 4.1.3.2).
func (s *Sessions) name() string {
	if s.secure {
		return "__Host-lathmark"
	}
	return "lathmark"
}

func (s *Sessions) cookie(value string, age int) *http.Cookie {
	return &http.Cookie{Name: s.name(), Value: value, Path: "/", MaxAge: age,
		Secure: s.secure, HttpOnly: true, SameSite: http.SameSiteLaxMode}
}
