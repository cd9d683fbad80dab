package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// InsertAttempt is firm.Tx.
func (t *Tx) InsertAttempt(ctx context.Context, attempt firm.Hash, p firm.Proof, made, expires time.Time) error {
	if err := t.run(ctx, "delete from attempt where firm_id = $1 and expires_at <= $2", t.firm, made); err != nil {
		return err
	}
	return t.write(ctx, fault.Conflict, "That was used before.",
		insertInto("attempt", "firm_id, hash, issuer, subject, email, sid, issued_at, expires_at, signed_at")+
			" on conflict (firm_id, hash) do nothing",
		t.firm, attempt[:], p.Issuer, p.Subject, null(p.Email), p.Session, p.IssuedAt, expires, null(p.SignedAt))
}

// EndAttempt is firm.Tx.
func (t *Tx) EndAttempt(ctx context.Context, attempt firm.Hash, at time.Time) (p firm.Proof, err error) {
	err = t.tx.QueryRow(ctx, `update attempt set done_at = $3 where firm_id = $1 and hash = $2 and done_at is null
		and expires_at > $3
		returning issuer, subject, email, sid, issued_at, signed_at`,
		t.firm, attempt[:], at).Scan(&p.Issuer, &p.Subject, opt(&p.Email), &p.Session, &p.IssuedAt,
		opt(&p.SignedAt))
	return p, missing(err, "attempt")
}

// Known is firm.Tx.
func (t *Tx) Known(ctx context.Context, p firm.Proof) ([]firm.Place, error) {
	rows, _ := t.tx.Query(ctx, "select firm_id, member_id from known_by($1, $2, $3) order by 1, 2", p.Issuer, p.Subject,
		null(p.Email))
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (k firm.Place, err error) {
		err = row.Scan(&k.Firm, &k.Person.ID)
		k.Person.Firm = k.Firm
		return k, err
	})
}

// IdentityMember is firm.Tx.
func (t *Tx) IdentityMember(ctx context.Context, i firm.Identity) (firm.Member, error) {
	return one(ctx, t, "person", scanMember, "select "+memberColumns+` from member where firm_id = $1 and left_at is null
		and id = (select member_id from identity where firm_id = $1 and issuer = $2 and subject = $3)`,
		t.firm, i.Issuer, i.Subject)
}

// EmailMember is firm.Tx.
func (t *Tx) EmailMember(ctx context.Context, email, issuer string) (firm.Member, error) {
	return one(ctx, t, "person", scanMember, "select "+memberColumns+
		` from member m where firm_id = $1 and left_at is null and email = $2
		and not exists (select from identity i where i.firm_id = $1 and i.member_id = m.id and i.issuer = $3)`,
		t.firm, email, issuer)
}

// SaveEmail is firm.Tx.
func (t *Tx) SaveEmail(ctx context.Context, member id.Member, email string) error {
	tag, err := t.tx.Exec(ctx, "update member set email = $3 where firm_id = $1 and id = $2 and email is distinct from $3",
		t.firm, member, null(email))
	if err != nil {
		return err
	}
	if tag.RowsAffected() == 0 {
		_, err := t.Member(ctx, member)
		return err
	}
	return t.UnlinkIdentities(ctx, member)
}

// LinkIdentity is firm.Tx.
func (t *Tx) LinkIdentity(ctx context.Context, member id.Member, i firm.Identity, at time.Time) error {
	if err := t.unlink(ctx, "i.member_id = $2 and i.issuer = $3 and i.subject <> $4", member, i.Issuer,
		i.Subject); err != nil {
		return err
	}
	return t.write(ctx, fault.Conflict, "Somebody else in the firm already signs in with this.",
		insertInto("identity", "firm_id, issuer, subject, member_id, linked_at")+`
		on conflict (firm_id, issuer, subject) do update set member_id = excluded.member_id
		where identity.member_id = excluded.member_id`,
		t.firm, i.Issuer, i.Subject, member, at)
}

// Identities is firm.Tx.
func (t *Tx) Identities(ctx context.Context, member id.Member) ([]firm.Identity, error) {
	return many(ctx, t, pgx.RowToStructByPos[firm.Identity],
		"select issuer, subject from identity where firm_id = $1 and member_id = $2 order by 1, 2",
		t.firm, member)
}

// UnlinkIdentities is firm.Tx.
func (t *Tx) UnlinkIdentities(ctx context.Context, member id.Member) error {
	return t.unlink(ctx, "i.member_id = $2", member)
}

// unlink takes out the identities that a condition names, with their sessions.
func (t *Tx) unlink(ctx context.Context, which string, args ...any) error {
	args = append([]any{t.firm}, args...)
	if err := t.run(ctx, `delete from session s using tied_session t, identity i where s.firm_id = $1
		and t.firm_id = $1 and i.firm_id = $1
		and s.hash = t.hash and t.issuer = i.issuer and t.subject = i.subject and s.member_id = i.member_id
		and `+which, args...); err != nil {
		return err
	}
	return t.run(ctx, "delete from identity i where i.firm_id = $1 and "+which, args...)
}

// TieSession is firm.Tx.
func (t *Tx) TieSession(ctx context.Context, session firm.Hash, p firm.Proof) error {
	return t.run(ctx, "insert into tied_session (firm_id, hash, issuer, subject, sid, issued_at) values ($1, "+
		"$2, $3, $4, $5, $6)",
		t.firm, session[:], p.Issuer, p.Subject, p.Session, p.IssuedAt)
}

// TiedFirms is firm.Tx.
func (t *Tx) TiedFirms(ctx context.Context, g firm.Logout) ([]id.Firm, error) {
	return many(ctx, t, pgx.RowTo[id.Firm], "select firm_id from tied_firms($1, $2, $3, $4) order by 1", g.Issuer,
		g.Subject, g.Session,
		g.At)
}

// EndTied is firm.Tx.
func (t *Tx) EndTied(ctx context.Context, g firm.Logout) error {
	return t.run(ctx, `delete from session s using tied_session t where s.firm_id = $1 and t.firm_id = $1
		and s.hash = t.hash
		and t.issuer = $2 and t.issued_at <= $5 and ($3 = '' or t.subject = $3) and ($4 = '' or t.sid = $4)
		and ($3 <> '' or $4 <> '')`,
		t.firm, g.Issuer, g.Subject, g.Session, g.At)
}
