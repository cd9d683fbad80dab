package persistence_test

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/persistence/localpg"
	"lathmark/persistence/pgtest"
)

// A surfaces is a transaction in which rows need no room to be in. It is never
// committed.
type surfaces struct {
	pgx.Tx
	t testing.TB
}

func newSurfaces(t testing.TB) *surfaces {
	conn, err := pgx.Connect(t.Context(), pgtest.Migrated(t).URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	tx, err := conn.Begin(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close(context.Background()) })
	s := &surfaces{tx, t}
	s.do("set local session_replication_role = replica")
	return s
}

func (s *surfaces) do(sql string, args ...any) {
	s.t.Helper()
	if _, err := s.Exec(s.t.Context(), sql, args...); err != nil {
		s.t.Fatal(err)
	}
}

// insert writes surfaces down as they would come by way of deeds.
func (s *surfaces) insert(all ...*measured) {
	s.t.Helper()
	rows := map[string][]row{}
	for _, m := range all {
		for table, list := range m.rows() {
			rows[table] = append(rows[table], list...)
		}
	}
	for table, list := range rows {
		b, err := json.Marshal(list)
		if err != nil {
			s.t.Fatal(err)
		}
		columns := map[string]bool{}
		for _, r := range list {
			for c := range r {
				columns[c] = true
			}
		}
		these := strings.Join(slices.Collect(maps.Keys(columns)), ", ")
		s.do(`insert into "`+table+`" (`+these+`) select `+these+` from jsonb_populate_recordset(null::"`+table+`", $1)`, b)
	}
}

// fixedOn returns for each position what the database says: of the surface as a
// whole, and of the position by itself.
func (s *surfaces) fixedOn(each bool) (whole, single map[id.Position]bool) {
	s.t.Helper()
	whole, single = map[id.Position]bool{}, map[id.Position]bool{}
	rows, _ := s.Query(s.t.Context(), `with one as (select distinct firm_id, surface_id from "position"),
		yes as materialized (select fixed_on(firm_id, surface_id) as id from one)
		select p.id, p.id in (select id from yes), case when $1 then fixed(p) end from "position" p`, each)
	var p id.Position
	var a bool
	var b *bool
	if _, err := pgx.ForEachRow(rows, []any{&p, &a, &b}, func() error {
		whole[p] = a
		if b != nil {
			single[p] = *b
		}
		return nil
	}); err != nil {
		s.t.Fatal(err)
	}
	return whole, single
}

// compare holds the database against the geometry, position by position, and
// returns how many the geometry fixes and how many it does not.
func (s *surfaces) compare(each bool, all ...*measured) (yes, no int) {
	s.t.Helper()
	s.insert(all...)
	whole, single := s.fixedOn(each)
	for _, m := range all {
		sheet := m.Sheet()
		if err := roomsheet.Check(sheet); err != nil {
			s.t.Fatal(err)
		}
		answer := sheet.Solve()[0].Answer
		for i, p := range m.Positions {
			want := answer.Positions[i].Determinate
			if whole[p.ID] != want || each && single[p.ID] != want {
				text, _ := json.Marshal(sheet)
				s.t.Fatalf("%s is determinate: %v; fixed_on says %v, fixed %v\n%s", p.Name, want, whole[p.ID], single[p.ID], text)
			}
			if want {
				yes++
			} else {
				no++
			}
		}
	}
	s.clear()
	return yes, no
}

func (s *surfaces) clear() {
	s.t.Helper()
	for _, table := range []string{"surface", "datum", "layer", "as_built", "position", "measurement"} {
		s.do(`delete from "` + table + `"`)
	}
}

// The database fixes just the positions that the geometry fixes.
func TestTheDatabaseFixesWhatTheGeometryFixes(t *testing.T) {
	seed := uint64(time.Now().UnixNano() % 1_000_000)
	if n := envCount("LATHMARK_SEED"); n > 0 {
		seed = uint64(n)
	}
	t.Logf("seed %d (LATHMARK_SEED=%d repeats it)", seed, seed)
	r := rand.New(rand.NewPCG(seed, 2))
	s := newSurfaces(t)
	yes, no := 0, 0
	for batch := range max(6, envCount("LATHMARK_SURFACES")/100) {
		var all []*measured
		for range 100 {
			all = append(all, drawSurface(r))
		}
		y, n := s.compare(batch%5 == 0, all...)
		yes, no = yes+y, no+n
	}
	t.Logf("%d positions are fixed, %d are not", yes, no)
	if yes < no/5 || no < yes/5 {
		t.Error("nearly all are alike: the test says little")
	}
}

// What the database accepted once and the geometry never did, what two circles
// and an outline say, and figures that no tape gives. The room is 4 by 3 m; D1 is
// taped from two walls at (1000, 1000), D2 at (2000, 1000), and D3 is asked for.
func TestStraightDistancesThatFixAndThatDoNot(t *testing.T) {
	s := newSurfaces(t)
	for _, c := range []struct {
		name string
		u, v float64 // where D3 is
		tape func(m *measured, d1, d2, d3 id.Position, stack *room.Datum)
		want bool
	}{
		{"the same distance twice", 1500, 1600, func(m *measured, d1, _, d3 id.Position, _ *room.Datum) {
			m.distance(d3, d1, 0)
			m.distance(d3, d1, 1)
		}, false},
		{"the same point twice", 1500, 1600, func(m *measured, _, _, d3 id.Position, stack *room.Datum) {
			m.offset(d3, stack, 0)
			m.offset(d3, stack, 1)
		}, false},
		{"two circles that cross twice within the room", 1500, 1600, func(m *measured, d1, d2, d3 id.Position,
			_ *room.Datum) {
			m.distance(d3, d1, 0)
			m.distance(d3, d2, 0)
		}, false},
		{"a third that tells the two apart", 1500, 1600, func(m *measured, d1, d2, d3 id.Position, stack *room.Datum) {
			m.distance(d3, d1, 0)
			m.distance(d3, d2, 0)
			m.offset(d3, stack, 0)
		}, true},
		{"two circles of which one crossing is behind a wall", 1500, 2300,
			func(m *measured, d1, d2, d3 id.Position, _ *room.Datum) {
				m.distance(d3, d1, 0)
				m.distance(d3, d2, 0)
			}, true},
		{"two circles that touch", 3000, 1000, func(m *measured, d1, d2, d3 id.Position, _ *room.Datum) {
			m.distance(d3, d1, 0)
			m.distance(d3, d2, 0)
		}, false},
		{"two circles that do not reach each other", 1500, 1050, func(m *measured, d1, d2, d3 id.Position, _ *room.Datum) {
			m.distance(d3, d1, -10)
			m.distance(d3, d2, -10)
		}, false},
		{"an offset along which the distance runs", 1000, 2000, func(m *measured, d1, _, d3 id.Position, _ *room.Datum) {
			m.distance(d3, d1, 1)
			m.offset(d3, &m.Datums[0], 0)
		}, false},
		{"a chain of two", 1500, 2300, func(m *measured, d1, d2, d3 id.Position, _ *room.Datum) {
			m.distance(d3, d1, 0)
			m.distance(d3, d2, 0)
			d4 := m.position(2500, 2900)
			m.distance(d4, d3, 0)
			m.distance(d4, d2, 0)
		}, true},
		{"positions from each other only", 1500, 1600, func(m *measured, _, _, d3 id.Position, _ *room.Datum) {
			d4, d5 := m.position(1800, 1900), m.position(1200, 2000)
			m.distance(d3, d4, 0)
			m.distance(d4, d5, 0)
			m.distance(d5, d3, 0)
		}, false},
		{"a span that is 2 m short and would move every place", 1500, 2300,
			func(m *measured, d1, d2, d3 id.Position, _ *room.Datum) {
				m.distance(d3, d1, 0)
				m.distance(d3, d2, 0)
				m.take(room.Measurement{Kind: words.Span, From: m.Datums[0].ID, To: m.Datums[2].ID, Value: 1000})
			}, true},
	} {
		m := newMeasured()
		m.walls(plans[0]...)
		stack := *m.line(words.Point, "stack", roomsheet.Point{3300, 2100}, roomsheet.Point{})
		d1, d2, d3 := m.position(1000, 1000), m.position(2000, 1000), m.position(c.u, c.v)
		for _, p := range []id.Position{d1, d2} {
			m.offset(p, &m.Datums[0], 0)
			m.offset(p, &m.Datums[3], 0)
		}
		c.tape(m, d1, d2, d3, &stack)
		s.insert(m)
		if whole, _ := s.fixedOn(false); whole[d3] != c.want || !whole[d1] || !whole[d2] {
			t.Errorf("%s: fixed is %v", c.name, whole[d3])
		}
		s.clear()
		s.compare(true, m)
	}
}

// Figures that the schema lets in and no tape gives are answered, and fix nothing
// that lines do not fix.
func TestNoFigureStopsTheRule(t *testing.T) {
	s := newSurfaces(t)
	for _, sql := range []string{
		"update measurement set sigma_mm = 1e-300 where kind = 'distance'", "update measurement set sigma_mm = 1e-300",
		"update datum set sigma_mm = 1e-300", "update datum set au = 0, av = 0, bu = 1e-300, bv = 0 where kind <> 'point'",
		"update measurement set value_mm = 1e-300", "update measurement set value_mm = -100000 where kind = 'distance'",
		"update datum set au = 1e-300, av = -1e-200 where kind = 'point'",
		"update datum set lean = 79.9999 where kind = 'face'",
		"update layer set thickness_mm = 1e-300, sigma_mm = 1e-300",
	} {
		m := grid(4, true)
		m.line(words.Point, "stack", roomsheet.Point{3300, 2100}, roomsheet.Point{})
		m.offset(m.Positions[3].ID, &m.Datums[4], 0)
		s.insert(m)
		s.do(sql)
		s.fixedOn(true)
		s.clear()
	}
}

// envCount is a number in the environment, 0 where there is none.
func envCount(name string) int {
	n, _ := strconv.Atoi(os.Getenv(name))
	return n
}

// grid is a surface with n positions: on straight offsets alone, or every other
// one on two distances and an offset.
func grid(n int, straight bool) *measured {
	m := newMeasured()
	m.walls(plans[0]...)
	for k := range m.Datums {
		m.layers(m.Datums[k].ID, 25, 3)
	}
	for i := range n {
		p := m.position(300+float64(i%8)*450, 300+float64(i/8)*320+float64(i*97%200))
		if straight && i > 1 && i%2 == 1 {
			m.distance(p, m.Positions[i-1].ID, 1)
			m.distance(p, m.Positions[max(0, i-9)].ID, -1)
			m.offset(p, &m.Datums[1], 1)
			m.offset(p, &m.Datums[3], 1)
			continue
		}
		for k := range 4 {
			m.offset(p, &m.Datums[k], float64(k-1))
		}
	}
	return m
}

// What the rule costs on a surface, and by itself for each position of one.
func BenchmarkFixed(b *testing.B) {
	s := newSurfaces(b)
	for _, n := range []int{14, 60} {
		for _, straight := range []bool{false, true} {
			s.insert(grid(n, straight))
			for name, sql := range map[string]string{
				"surface": "select count(*) from surface s, fixed_on(s.firm_id, s.id)",
				"each":    `select count(*) from "position" p where fixed(p)`} {
				b.Run(fmt.Sprintf("%d/straight=%v/%s", n, straight, name), func(b *testing.B) {
					for b.Loop() {
						var got int
						if err := s.QueryRow(b.Context(), sql).Scan(&got); err != nil || got < n*3/4 {
							b.Fatal(got, err)
						}
					}
				})
			}
			s.clear()
		}
	}
}
