package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// SaveLimits is firm.Tx.
func (t *Tx) SaveLimits(ctx context.Context, l firm.Limits) error {
	return t.hit(ctx, "firm", "update firm set session_idle_min = $2, session_absolute_min = $3 where firm_id = $1",
		t.firm, int(l.Idle/time.Minute), int(l.Absolute/time.Minute))
}

// SaveNeedPasskey is firm.Tx.
func (t *Tx) SaveNeedPasskey(ctx context.Context, of firm.PasskeyOf) error {
	return t.hit(ctx, "firm", "update firm set need_passkey = $2 where firm_id = $1", t.firm, of)
}

// lasts is the condition on a session s of a firm f at the time $2: both limits
// are the firm's of today, so that shortening them ends what is too old.
const lasts = `s.expires_at > $2 and s.created_at + make_interval(mins => f.session_absolute_min) > $2
	and s.seen_at + make_interval(mins => f.session_idle_min) > $2`

// Arrive is firm.Tx.
func (t *Tx) Arrive(ctx context.Context, member id.Member) error {
	return t.run(ctx, `with came as (update member set has_signed_in = true
			where firm_id = $1 and id = $2 and not has_signed_in returning id)
		delete from one_time_link l using came
		where l.firm_id = $1 and l.member_id = came.id and l.used_at is null`, t.firm, member)
}

// InsertSession is firm.Tx.
func (t *Tx) InsertSession(ctx context.Context, hash firm.Hash, s firm.Session) error {
	if err := t.run(ctx, "delete from session s using firm f where s.firm_id = $1 and f.firm_id = $1 and "+
		"s.member_id = $3 and not ("+lasts+")",
		t.firm, s.CreatedAt, s.Person.ID); err != nil {
		return err
	}
	return t.run(ctx, insertInto("session", "firm_id, hash, id, member_id, device, created_at, seen_at, expires_at, "+
		"signed_at, by_passkey"), t.firm, hash[:], s.ID, s.Person.ID, s.Device, s.CreatedAt, s.SeenAt, s.EndsAt,
		null(s.SignedAt), s.ByPasskey)
}

// personColumns are those of a person, who is the member m.
const personColumns = "m.firm_id, m.id, m.name, m.role, m.trade, m.every_job"

func personFields(p *firm.Person) []any {
	return []any{&p.Firm, &p.ID, &p.Name, &p.Role, opt(&p.Trade), &p.EveryJob}
}

const sessionColumns = `s.id, s.device, s.created_at, s.seen_at,
		least(s.expires_at, s.created_at + make_interval(mins => f.session_absolute_min)), f.name, f.zone,
		s.signed_at, s.by_passkey, f.need_passkey = 'everybody' or f.need_passkey = 'runners' and m.role in ('owner', 'foreman'),
		exists (select from passkey k where k.firm_id = s.firm_id and k.member_id = s.member_id), ` + personColumns

func sessionFields(s *firm.Session) []any {
	return append([]any{&s.ID, &s.Device, &s.CreatedAt, &s.SeenAt, &s.EndsAt, &s.FirmName, &s.Zone,
		opt(&s.SignedAt), &s.ByPasskey, &s.NeedsPasskey, &s.HasPasskey},
		personFields(&s.Person)...)
}

const sessionRows = `
	from session s join firm f on f.firm_id = s.firm_id join member m on m.firm_id = s.firm_id and m.id = s.member_id
	where s.firm_id = $1 and m.left_at is null and ` + lasts

const (
	sessionQuery = "select " + sessionColumns + sessionRows
	bySecret     = sessionQuery + " and s.hash = $3"
)

func scanSession(row pgx.CollectableRow) (s firm.Session, err error) {
	err = row.Scan(sessionFields(&s)...)
	return s, err
}

// askInSession finds a session, and has its person ask from there on, as ask_as does.
const askInSession = `select
		set_config('lathmark.every_job', (m.role in ('owner', 'foreman') or m.every_job)::text, true),
		set_config('lathmark.jobs', array(select j.job_id from member_job j where j.firm_id = $1 and j.member_id = m.id
			and not m.every_job and m.role not in ('owner', 'foreman'))::text, true), f.revision, ` +
	sessionColumns + sessionRows + " and s.hash = $3"

// Session is firm.Tx.
func (t *Tx) Session(ctx context.Context, hash firm.Hash, at time.Time) (firm.Session, error) {
	return one(ctx, t, "session", scanSession, bySecret, t.firm, at, hash[:])
}

// Sessions is firm.Tx.
func (t *Tx) Sessions(ctx context.Context, member id.Member, at time.Time) ([]firm.Session, error) {
	return many(ctx, t, scanSession, sessionQuery+" and s.member_id = $3 order by s.seen_at desc, s.id", t.firm, at,
		member)
}

// ProveSession is firm.Tx.
func (t *Tx) ProveSession(ctx context.Context, member id.Member, session id.Session) error {
	return t.run(ctx, "update session set by_passkey = true where firm_id = $1 and member_id = $2 and id = $3", t.firm,
		member, session)
}

// SeeSession is firm.Tx.
func (t *Tx) SeeSession(ctx context.Context, hash firm.Hash, device string, at time.Time) error {
	return t.hit(ctx, "session", `update session set seen_at = greatest(seen_at, $3),
		device = case $4 when '' then device else $4 end
		where firm_id = $1 and hash = $2`, t.firm, hash[:], at, device)
}

// DeleteSession is firm.Tx.
func (t *Tx) DeleteSession(ctx context.Context, hash firm.Hash) error {
	return t.run(ctx, "delete from session where firm_id = $1 and hash = $2", t.firm, hash[:])
}

// EndSession is firm.Tx.
func (t *Tx) EndSession(ctx context.Context, member id.Member, session id.Session) error {
	return t.hit(ctx, "session", "delete from session where firm_id = $1 and member_id = $2 and id = $3", t.firm, member,
		session)
}

// EndSessions is firm.Tx.
func (t *Tx) EndSessions(ctx context.Context, member id.Member, keep id.Session) error {
	return t.run(ctx, "delete from session where firm_id = $1 and member_id = $2 and id <> $3", t.firm, member,
		keep)
}

// EndAccess is firm.Tx.
func (t *Tx) EndAccess(ctx context.Context, member id.Member) error {
	for _, table := range []string{"session", "one_time_link", "api_key", "passkey"} {
		if err := t.run(ctx, "delete from "+table+" where firm_id = $1 and member_id = $2", t.firm,
			member); err != nil {
			return err
		}
	}
	return t.run(ctx, "delete from invitation where firm_id = $1 and made_by = $2 and used_at is null", t.firm,
		member)
}
