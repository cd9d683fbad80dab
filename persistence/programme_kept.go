package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/room"
)

// InsertVisitLink is programme.Tx.
func (t *Tx) InsertVisitLink(ctx context.Context, hash firm.Hash, l programme.VisitLink) error {
	return t.run(ctx, insertInto("visit_link", "firm_id, hash, crew_id, member_id, created_at, expires_at"),
		t.firm, hash[:], null(l.Crew), null(l.Member), l.Made, l.Expires)
}

var scanVisitLink = fields(func(l *programme.VisitLink) []any {
	return []any{opt(&l.Crew), opt(&l.Member), &l.Made, &l.Expires}
})

const visitLinks = "select crew_id, member_id, created_at, expires_at from visit_link where firm_id = $1 " +
	"and ended_at is null and expires_at > $2"

// VisitLink is programme.Tx.
func (t *Tx) VisitLink(ctx context.Context, hash firm.Hash, at time.Time) (programme.VisitLink, error) {
	return one(ctx, t, "link", scanVisitLink, visitLinks+" and hash = $3", t.firm, at, hash[:])
}

// VisitLinks is programme.Tx.
func (t *Tx) VisitLinks(ctx context.Context, at time.Time) ([]programme.VisitLink, error) {
	return many(ctx, t, scanVisitLink, visitLinks+" order by created_at, hash", t.firm, at)
}

// EndVisitLinks is programme.Tx.
func (t *Tx) EndVisitLinks(ctx context.Context, crew id.Crew, member id.Member, at time.Time) (int, error) {
	tag, err := t.tx.Exec(ctx, `update visit_link set ended_at = $4 where firm_id = $1 and ended_at is null
		and expires_at > $4 and (crew_id = $2 or member_id = $3)`, t.firm, null(crew), null(member), at)
	return int(tag.RowsAffected()), err
}

// Stored is programme.Tx.
func (t *Tx) Stored(ctx context.Context) (programme.Stored, error) {
	all, err := many(ctx, t, fields(func(s *programme.Stored) []any {
		return []any{&s.Made, &s.Today, &s.Mark.Firm, &s.Mark.Entries, &s.Mark.Revisions, &s.Version, &s.Answer}
	}), "select made_at, today, people, entries, revisions, version, answer from programme where firm_id = $1", t.firm)
	if err != nil || len(all) == 0 {
		return programme.Stored{}, err
	}
	return all[0], nil
}

// Keep is programme.KeepTx.
func (t *Tx) Keep(ctx context.Context, s programme.Stored) error {
	return t.run(ctx, insertInto("programme", "firm_id, made_at, today, people, entries, revisions, version, answer")+
		` on conflict (firm_id) do update set made_at = excluded.made_at, today = excluded.today,
		people = excluded.people, entries = excluded.entries, revisions = excluded.revisions,
		version = excluded.version, answer = excluded.answer`,
		t.firm, s.Made, s.Today, s.Mark.Firm, s.Mark.Entries, s.Mark.Revisions, s.Version, s.Answer)
}

var firmMark = "select f.revision, m.* from firm f, (" + ofAll.mark + ") m where f.firm_id = $1"

// Mark is programme.KeepTx.
func (t *Tx) Mark(ctx context.Context) (m room.Mark, err error) {
	err = t.tx.QueryRow(ctx, firmMark, t.firm).Scan(&m.Firm, &m.Entries, &m.Revisions)
	return m, missing(err, "firm")
}

// Mark asks what a firm's programme rests on, in one round trip.
func (db *DB) Mark(ctx context.Context, of id.Firm) (m room.Mark, err error) {
	err = db.Glance(ctx, firm.Whole(of), func(tx *Tx) error {
		m, err = tx.Mark(ctx)
		return err
	})
	return m, err
}

// Take is programme.KeepTx. The lock ends with the transaction, whatever ends that.
func (t *Tx) Take(ctx context.Context) (mine bool, err error) {
	err = t.tx.QueryRow(ctx, "select pg_try_advisory_xact_lock(hashtextextended('programme ' || $1::uuid, 0))",
		t.firm).Scan(&mine)
	return mine, err
}

// Holidays is programme.KeepTx.
func (t *Tx) Holidays(ctx context.Context) ([]programme.Holiday, error) {
	return many(ctx, t, fields(func(h *programme.Holiday) []any { return []any{&h.On, &h.Name} }),
		"select on_day, name from holiday where firm_id = $1 order by on_day", t.firm)
}

// SaveHolidays is programme.Tx. The firm's week is touched with them, once for all.
func (t *Tx) SaveHolidays(ctx context.Context, all []programme.Holiday) error {
	if err := t.run(ctx, "update week set region = region where firm_id = $1", t.firm); err != nil {
		return err
	}
	if err := t.run(ctx, "delete from holiday where firm_id = $1", t.firm); err != nil {
		return err
	}
	days, names := make([]time.Time, len(all)), make([]string, len(all))
	for i, h := range all {
		days[i], names[i] = h.On, h.Name
	}
	return t.run(ctx, "insert into holiday (firm_id, on_day, name) select $1, d, n from unnest($2::date[], $3::text[]) "+
		"t(d, n)", t.firm, days, names)
}

// Worked is programme.KeepTx.
func (t *Tx) Worked(ctx context.Context, rooms []id.Room, acts []string) ([]programme.DayWorked, error) {
	return many(ctx, t, fields(func(w *programme.DayWorked) []any {
		return []any{&w.Room, stageInto(&w.Stage), &w.Trade, &w.Member, &w.On}
	}), `select distinct d.room_id, d.stage, m.trade, m.id, (d.at at time zone f.zone)::date
		from diary d join firm f on f.firm_id = d.firm_id join member m on m.firm_id = d.firm_id and m.id = d.member_id
		where d.firm_id = $1 and d.room_id = any($2) and d.act = any($3) and d.stage <> '' and m.role = 'trade'
		and m.left_at is null and `+within("d.job_id")+" order by 5, 1, 2, 4", t.firm, rooms, acts)
}

// Firms returns every firm there is.
func (db *DB) Firms(ctx context.Context) ([]id.Firm, error) {
	rows, _ := db.pool.Query(ctx, "select every_firm()")
	all, err := pgx.CollectRows(rows, pgx.RowTo[id.Firm])
	return all, toFault(err)
}
