// Package dbtest gives each test the services over a migrated database of its
// own, and a firm with people to begin with.
package dbtest

import (
	"path/filepath"
	"sync"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/pgtest"
	"lathmark/persistence/photostore"
)

// Clock is a clock that tests set. Each reading is a second later than the
// last.
type Clock struct {
	mu sync.Mutex
	at time.Time
}

// Now returns the time.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(time.Second)
	return c.at
}

// Pass advances the clock.
func (c *Clock) Pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

// Site is a firm in a database of its own.
type Site struct {
	persistence.Services
	DB       *persistence.DB
	Database pgtest.Database
	Clock    *Clock

	Owner, Foreman, Electrician, Plumber, DryLiner, Plasterer, Decorator firm.Person
}

// New returns a firm with an owner, a foreman and one person of each trade that
// a room needs. Their names are invented. It ends with t.
func New(t testing.TB) *Site {
	t.Helper()
	s := &Site{Database: pgtest.Migrated(t), Clock: &Clock{at: time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)}}
	db, err := persistence.Open(t.Context(), s.Database.URL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	if db.Pictures, err = photostore.NewFolder(filepath.Join(t.TempDir(), "photos")); err != nil {
		t.Fatal(err)
	}
	s.DB, s.Services = db, persistence.NewServices(db, s.Clock.Now)
	s.Owner = s.Found(t, "Fell & Daughters")
	s.Foreman = s.Add(t, "Bram Okafor", firm.Foreman, "")
	s.Electrician = s.Add(t, "Ines Carro", firm.Trade, words.Electrician)
	s.Plumber = s.Add(t, "Olek Nowik", firm.Trade, words.Plumber)
	s.DryLiner = s.Add(t, "Tess Aldous", firm.Trade, words.DryLiner)
	s.Plasterer = s.Add(t, "Jon Pryde", firm.Trade, words.Plasterer)
	s.Decorator = s.Add(t, "Mina Sorel", firm.Trade, words.Decorator)
	return s
}

// Found makes another firm in the same database and returns its owner.
func (s *Site) Found(t testing.TB, name string) firm.Person {
	t.Helper()
	owner, _, err := s.Firm.Found(t.Context(), name, "Ada Fell")
	if err != nil {
		t.Fatal(err)
	}
	return owner
}

// Add adds a person to the firm; a trade works on all of its jobs.
func (s *Site) Add(t testing.TB, name string, role firm.Role, trade words.Trade) firm.Person {
	t.Helper()
	return s.add(t, firm.Person{Name: name, Role: role, Trade: trade, EveryJob: role == firm.Trade})
}

func (s *Site) add(t testing.TB, p firm.Person) firm.Person {
	t.Helper()
	m, err := s.Firm.AddMember(t.Context(), s.Owner, p)
	if err != nil {
		t.Fatal(err)
	}
	return m.Person
}

// AddTo adds a person who is named on the given jobs and on no others.
func (s *Site) AddTo(t testing.TB, name string, role firm.Role, trade words.Trade, jobs ...id.Job) firm.Person {
	t.Helper()
	p := s.add(t, firm.Person{Name: name, Role: role, Trade: trade})
	if err := s.Firm.NameJobs(t.Context(), s.Owner, p.ID, firm.Team{Jobs: jobs}); err != nil {
		t.Fatal(err)
	}
	return p
}
