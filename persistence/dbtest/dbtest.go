// Package dbtest gives each test the services over a migrated database of its
// own, and a firm with people to begin with.
package dbtest

import (
	"context"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/photo"
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

// People are the owner, the foreman and one person of each trade that a room
// needs. Their names are invented.
type People struct{ Owner, Foreman, Electrician, Plumber, DryLiner, Plasterer, Decorator firm.Person }

// Site is a firm in a database of its own.
type Site struct {
	persistence.Services
	People
	DB       *persistence.DB
	Database pgtest.Database
	Clock    *Clock
}

// settled is the firm as its people have just come to it, and at what time.
var settled struct {
	People
	at time.Time
}

var template = pgtest.NewTemplate(func(ctx context.Context, d pgtest.Database) error {
	if err := pgtest.Migrate(ctx, d); err != nil {
		return err
	}
	s, err := open(ctx, d, time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC), photo.Nowhere{})
	if err != nil {
		return err
	}
	defer s.DB.Close()
	if s.Owner, _, err = s.Firm.Found(ctx, "Fell & Daughters", "UTC", "Ada Fell"); err != nil {
		return err
	}
	for _, p := range []struct {
		who   *firm.Person
		name  string
		role  firm.Role
		trade words.Trade
	}{
		{&s.Foreman, "Bram Okafor", firm.Foreman, ""},
		{&s.Electrician, "Ines Carro", firm.Trade, words.Electrician},
		{&s.Plumber, "Olek Nowik", firm.Trade, words.Plumber},
		{&s.DryLiner, "Tess Aldous", firm.Trade, words.DryLiner},
		{&s.Plasterer, "Jon Pryde", firm.Trade, words.Plasterer},
		{&s.Decorator, "Mina Sorel", firm.Trade, words.Decorator},
	} {
		if *p.who, err = s.add(ctx, p.name, p.role, p.trade, firm.Team{EveryJob: p.role == firm.Trade}); err != nil {
			return err
		}
	}
	settled.People, settled.at = s.People, s.Clock.at
	return nil
})

func open(ctx context.Context, d pgtest.Database, at time.Time, pictures photo.Store) (*Site, error) {
	db, err := persistence.Open(ctx, d.PastURL(migrations.Server))
	if err != nil {
		return nil, err
	}
	db.Pictures = pictures
	clock := &Clock{at: at}
	return &Site{DB: db, Database: d, Clock: clock, Services: persistence.NewServices(db, clock.Now)}, nil
}

// New returns a firm with People in a database of its own. It ends with t.
func New(t testing.TB) *Site {
	t.Helper()
	d := template.Clone(t)
	return on(t, d, settled.at)
}

func on(t testing.TB, d pgtest.Database, at time.Time) *Site {
	t.Helper()
	pictures, err := photostore.NewFolder(filepath.Join(t.TempDir(), "photos"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := open(t.Context(), d, at, pictures)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.DB.Close)
	s.People = settled.People
	return s
}

// Walked returns a function that returns the room of walk, in a site of the test's own as
// walk left it. The first test that asks walks, and all of them get copies. walk adds no
// photos, and nobody but People.
func Walked(walk func(testing.TB, *Site) id.Room) func(testing.TB) (*Site, id.Room) {
	var mu sync.Mutex
	var left *pgtest.Template
	var at time.Time
	var room id.Room
	return func(t testing.TB) (*Site, id.Room) {
		t.Helper()
		mu.Lock()
		defer mu.Unlock()
		if left == nil {
			s := New(t)
			room = walk(t, s)
			s.DB.Close() // nothing is copied while somebody is connected
			at, left = s.Clock.at, s.Database.Keep()
		}
		return on(t, left.Clone(t), at), room
	}
}

// Found makes another firm in the same database and returns its owner.
func (s *Site) Found(t testing.TB, name string) firm.Person {
	t.Helper()
	owner, _, err := s.Firm.Found(t.Context(), name, "UTC", "Ada Fell")
	if err != nil {
		t.Fatal(err)
	}
	return owner
}

func (s *Site) add(ctx context.Context, name string, role firm.Role, trade words.Trade, on firm.Team) (firm.Person,
	error) {
	m, err := s.Firm.TakeOn(ctx, s.Owner, id.Member{}, firm.Particulars{Name: name, Role: role, Trade: trade, Team: on})
	return m.Person, err
}

// Add adds a person to the firm; a trade works on all of its jobs.
func (s *Site) Add(t testing.TB, name string, role firm.Role, trade words.Trade) firm.Person {
	t.Helper()
	p, err := s.add(t.Context(), name, role, trade, firm.Team{EveryJob: role == firm.Trade})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// AddTo adds a person who is named on the given jobs and on no others.
func (s *Site) AddTo(t testing.TB, name string, role firm.Role, trade words.Trade, jobs ...id.Job) firm.Person {
	t.Helper()
	p, err := s.add(t.Context(), name, role, trade, firm.Team{Jobs: jobs})
	if err != nil {
		t.Fatal(err)
	}
	return p
}
