package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// InsertChallenge is firm.Tx.
func (t *Tx) InsertChallenge(ctx context.Context, hash firm.Hash, made, ends time.Time) error {
	if err := t.run(ctx, "delete from passkey_challenge where firm_id = $1 and expires_at <= $2", t.firm,
		made); err != nil {
		return err
	}
	return t.run(ctx, insertInto("passkey_challenge", "firm_id, hash, expires_at"), t.firm,
		hash[:], ends)
}

// UseChallenge is firm.Tx.
func (t *Tx) UseChallenge(ctx context.Context, hash firm.Hash, at time.Time) error {
	return t.hit(ctx, "challenge", "delete from passkey_challenge where firm_id = $1 and hash = $2 and expires_at > $3",
		t.firm, hash[:], at)
}

// InsertPasskey is firm.Tx.
func (t *Tx) InsertPasskey(ctx context.Context, k firm.Passkey) error {
	return t.insert(ctx, insertInto("passkey",
		"firm_id, id, member_id, name, credential_id, public_key, sign_count, synced, created_at"),
		t.firm, k.ID, k.Member, k.Name, k.Credential, k.PublicKey, int64(k.Count), k.Synced, k.CreatedAt)
}

// Passkeys is firm.Tx.
func (t *Tx) Passkeys(ctx context.Context, member id.Member) ([]firm.Passkey, error) {
	rows, _ := t.tx.Query(ctx, `select id, member_id, name, credential_id, public_key, sign_count, synced, created_at,
		used_at
		from passkey where firm_id = $1 and member_id = $2 order by created_at desc, id desc`, t.firm, member)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (k firm.Passkey, err error) {
		err = row.Scan(&k.ID, &k.Member, &k.Name, &k.Credential, &k.PublicKey, &k.Count, &k.Synced, &k.CreatedAt,
			opt(&k.UsedAt))
		return k, err
	})
}

// UsePasskey is firm.Tx.
func (t *Tx) UsePasskey(ctx context.Context, passkey id.Passkey, old, count uint32, at time.Time) error {
	return t.hit(ctx, "passkey", "update passkey set sign_count = $4, used_at = $5 where firm_id = $1 and id = $2 and "+
		"sign_count = $3",
		t.firm, passkey, int64(old), int64(count), at)
}

// DeletePasskey is firm.Tx.
func (t *Tx) DeletePasskey(ctx context.Context, member id.Member, passkey id.Passkey) error {
	return t.hit(ctx, "passkey", "delete from passkey where firm_id = $1 and member_id = $2 and id = $3", t.firm, member,
		passkey)
}
