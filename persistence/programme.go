package persistence

import (
	"context"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/words"
)

// givenPart is one list of what a firm has said: its query, which has the firm for $1, and
// where its rows go.
type givenPart struct {
	sql  string
	into func(*programme.Given, pgx.Rows) error
}

func givenList[T any](sql string, scan pgx.RowToFunc[T], field func(*programme.Given) *[]T) givenPart {
	return givenPart{sql, func(g *programme.Given, rows pgx.Rows) (err error) {
		*field(g), err = pgx.CollectRows(rows, readable(scan))
		return err
	}}
}

// jobsWhere is the condition on the jobs j of what is said of jobs and rooms. Whoever asks may
// see them besides.
type jobsWhere string

const (
	open  jobsWhere = "j.closed_at is null"
	oneBy jobsWhere = "j.id = $2"
)

// inRooms is the end of a query of what is said of rooms.
func (w jobsWhere) inRooms(order string) string {
	return ` t join room r on r.firm_id = t.firm_id and r.id = t.room_id join job j on j.firm_id = r.firm_id
		and j.id = r.job_id where t.firm_id = $1 and ` + string(w) + " and " + within("j.id") + " order by " + order
}

// inJobs is inRooms for what is said of jobs.
func (w jobsWhere) inJobs(order string) string {
	return " t join job j on j.firm_id = t.firm_id and j.id = t.job_id where t.firm_id = $1 and " + string(w) + " and " +
		within("j.id") + " order by " + order
}

// saidOfFirm are the lists of what is said of the firm as a whole.
var saidOfFirm = []givenPart{
	{"select days, region from week where firm_id = $1", func(g *programme.Given, rows pgx.Rows) error {
		var week []bool
		_, err := pgx.ForEachRow(rows, []any{&week, &g.Region}, func() error { return sevenInto(&g.Week, week) })
		return err
	}},
	givenList("select id, trade, name, people, days, member_id from crew where firm_id = $1 and ended_at is null "+
		"order by trade, name, id", scanCrew, func(g *programme.Given) *[]programme.Crew { return &g.Crews }),
	givenList("select a.id, a.crew_id, a.from_day, a.to_day, a.why, a.said_by, a.said_at from away a "+
		"left join crew c on c.firm_id = a.firm_id and c.id = a.crew_id where a.firm_id = $1 and c.ended_at is null "+
		"order by a.from_day, a.id",
		fields(func(a *programme.Away) []any {
			return []any{&a.ID, opt(&a.Crew), &a.From, &a.To, &a.Why, opt(&a.By), &a.At}
		}), func(g *programme.Given) *[]programme.Away { return &g.Away }),
	givenList("select trade, stage, least, likely, most from rate where firm_id = $1 order by trade, stage",
		fields(func(r *programme.Rate) []any {
			return []any{&r.Trade, stageInto(&r.Stage), &r.Least, &r.Likely, &r.Most}
		}), func(g *programme.Given) *[]programme.Rate { return &g.Rates }),
}

// said returns the lists of what is said of jobs.
func (w jobsWhere) said() []givenPart {
	return []givenPart{
		givenList("select t.room_id, t.stage, t.trade, t.on_day, t.pinned_by, t.pinned_at from pin"+
			w.inRooms("t.on_day, t.room_id, t.stage, t.trade"), fields(func(p *programme.Pin) []any {
			return []any{&p.Piece.Room, stageInto(&p.Piece.Stage), &p.Piece.Trade, &p.On, opt(&p.By), &p.At}
		}), func(g *programme.Given) *[]programme.Pin { return &g.Pins }),
		givenList("select "+promiseColumns+" from promise"+w.inJobs("t.given_at, t.id"), scanPromise,
			func(g *programme.Given) *[]programme.Promise { return &g.Promises }),
		givenList("select "+owedColumns+" from owed"+w.inRooms("t.saved_at, t.id"), scanOwed,
			func(g *programme.Given) *[]programme.Owed { return &g.Owed }),
		givenList("select t.room_id, t.by_room from through"+w.inRooms("t.room_id, t.by_room"),
			fields(func(w *programme.Through) []any { return []any{&w.Room, &w.By} }),
			func(g *programme.Given) *[]programme.Through { return &g.Through }),
		givenList("select t.crew_id, t.job_id, t.on_day, t.said_by, t.said_at from coming"+
			w.inJobs("t.on_day, t.job_id, t.crew_id"), fields(func(c *programme.Coming) []any {
			return []any{&c.Crew, &c.Job, &c.On, opt(&c.By), &c.At}
		}), func(g *programme.Given) *[]programme.Coming { return &g.Coming }),
	}
}

var saidOfOpen, saidOfOne = open.said(), oneBy.said()

const (
	promiseColumns = `t.id, t.job_id, t.room_id, t.to_trade, t.stage, t.on_day, t.given_by, t.given_at, t.why,
		(select i.id from promise i where i.firm_id = t.firm_id and i.in_place_of = t.id)`
	owedColumns = "t.id, t.room_id, t.stage, t.what, t.lead, t.by_trade, t.since, t.came"
)

var (
	scanPromise = fields(func(p *programme.Promise) []any {
		return []any{&p.ID, &p.Job, opt(&p.Room), &p.To, stageInto(&p.Stage), &p.On, &p.GivenBy, &p.GivenAt, &p.Why,
			opt(&p.Instead)}
	})
	scanOwed = fields(func(o *programme.Owed) []any {
		return []any{&o.ID, &o.Room, stageInto(&o.For), &o.What, &o.Lead, &o.By, opt(&o.Since), opt(&o.Came)}
	})
)

// Given is programme.Tx: every list in one round trip.
func (t *Tx) Given(ctx context.Context) (g programme.Given, err error) {
	err = t.given(ctx, &g, slices.Concat(saidOfFirm, saidOfOpen), t.firm)
	return g, err
}

// SaidOf is programme.Tx and proof.Tx.
func (t *Tx) SaidOf(ctx context.Context, of id.Job) (g programme.Given, err error) {
	err = t.given(ctx, &g, saidOfOne, t.firm, of)
	return g, err
}

// given reads lists, all in one round trip.
func (t *Tx) given(ctx context.Context, g *programme.Given, lists []givenPart, of ...any) (err error) {
	batch := &pgx.Batch{}
	for _, p := range lists {
		batch.Queue(p.sql, of...)
	}
	results := t.tx.SendBatch(ctx, batch)
	defer func() {
		if closing := results.Close(); err == nil {
			err = closing
		}
	}()
	for _, p := range lists {
		rows, _ := results.Query() // its error is the rows' own
		if err = p.into(g, rows); err != nil {
			return err
		}
	}
	return nil
}

func scanCrew(row pgx.CollectableRow) (c programme.Crew, err error) {
	var week []bool
	if err = row.Scan(&c.ID, &c.Trade, &c.Name, &c.People, &week, opt(&c.Member)); err != nil {
		return c, err
	}
	return c, sevenInto(&c.Week, week)
}

// sevenInto fills a week, which the table keeps from having more or fewer days.
func sevenInto(week *[7]bool, days []bool) error {
	copy(week[:], days)
	return nil
}

// SaveWeek is programme.Tx.
func (t *Tx) SaveWeek(ctx context.Context, days [7]bool, region string) error {
	return t.run(ctx, insertInto("week", "firm_id, days, region")+
		" on conflict (firm_id) do update set days = excluded.days, region = excluded.region", t.firm, days[:], region)
}

// SaveCrew is programme.Tx.
func (t *Tx) SaveCrew(ctx context.Context, c programme.Crew, at time.Time) error {
	return t.write(ctx, fault.Conflict, "This crew comes no more.",
		insertInto("crew", "firm_id, id, trade, name, people, days, member_id, saved_at")+
			` on conflict (firm_id, id) do update set trade = excluded.trade, name = excluded.name,
			people = excluded.people, days = excluded.days, member_id = excluded.member_id, saved_at = excluded.saved_at
			where crew.ended_at is null`,
		t.firm, c.ID, c.Trade, c.Name, c.People, c.Week[:], null(c.Member), at)
}

// EndCrew is programme.Tx.
func (t *Tx) EndCrew(ctx context.Context, crew id.Crew, at time.Time) error {
	if err := t.hit(ctx, "crew", "update crew set ended_at = $3 where firm_id = $1 and id = $2 and ended_at is null",
		t.firm, crew, at); err != nil {
		return err
	}
	_, err := t.EndVisitLinks(ctx, crew, id.Member{}, at)
	return err
}

// SaveAway is programme.Tx.
func (t *Tx) SaveAway(ctx context.Context, a programme.Away) error {
	return t.run(ctx, insertInto("away", "firm_id, id, crew_id, from_day, to_day, why, said_by, said_at")+
		` on conflict (firm_id, id) do update set from_day = excluded.from_day, to_day = excluded.to_day,
		why = excluded.why, said_by = excluded.said_by, said_at = excluded.said_at`,
		t.firm, a.ID, null(a.Crew), a.From, a.To, a.Why, null(a.By), a.At)
}

// DeleteAway is programme.Tx.
func (t *Tx) DeleteAway(ctx context.Context, away id.Away) error {
	return t.hit(ctx, "absence", "delete from away where firm_id = $1 and id = $2", t.firm, away)
}

// SaveRate is programme.Tx.
func (t *Tx) SaveRate(ctx context.Context, r programme.Rate) error {
	return t.run(ctx, insertInto("rate", "firm_id, trade, stage, least, likely, most")+
		` on conflict (firm_id, trade, stage) do update set least = excluded.least, likely = excluded.likely,
		most = excluded.most`, t.firm, r.Trade, r.Stage.Code(), r.Least, r.Likely, r.Most)
}

// DeleteRate is programme.Tx.
func (t *Tx) DeleteRate(ctx context.Context, of words.Trade, stage words.Stage) error {
	return t.run(ctx, "delete from rate where firm_id = $1 and trade = $2 and stage = $3", t.firm, of, stage.Code())
}
