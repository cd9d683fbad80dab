package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// InsertKey is firm.Tx.
func (t *Tx) InsertKey(ctx context.Context, hash firm.Hash, k firm.Key) error {
	return t.insert(ctx, `insert into api_key (firm_id, id, hash, member_id, name, scope, created_at, expires_at) values ($1, $2, $3, $4, $5, $6, $7, $8)`,
		t.firm, k.ID, hash[:], k.Member, k.Name, k.Scope, k.CreatedAt, k.EndsAt)
}

const keyColumns = "id, member_id, name, scope, created_at, expires_at, used_at"

func scanKey(row pgx.CollectableRow) (k firm.Key, err error) {
	err = row.Scan(&k.ID, &k.Member, &k.Name, &k.Scope, &k.CreatedAt, &k.EndsAt, opt(&k.UsedAt))
	return k, err
}

// Key is firm.Tx.
func (t *Tx) Key(ctx context.Context, hash firm.Hash, at time.Time) (firm.Key, firm.Member, error) {
	rows, _ := t.tx.Query(ctx, "select "+keyColumns+" from api_key where firm_id = $1 and hash = $2 and expires_at > $3",
		t.firm, hash[:], at)
	k, err := pgx.CollectExactlyOneRow(rows, scanKey)
	if err != nil {
		return k, firm.Member{}, missing(err, "key")
	}
	rows, _ = t.tx.Query(ctx, "select "+memberColumns+" from member where firm_id = $1 and id = $2 and left_at is null",
		t.firm, k.Member)
	m, err := pgx.CollectExactlyOneRow(rows, scanMember)
	return k, m, missing(err, "key")
}

// UseKey is firm.Tx.
func (t *Tx) UseKey(ctx context.Context, key id.Key, at time.Time) error {
	return t.hit(ctx, "key", "update api_key set used_at = greatest(used_at, $3) where firm_id = $1 and id = $2", t.firm,
		key, at)
}

// Keys is firm.Tx.
func (t *Tx) Keys(ctx context.Context, member id.Member) ([]firm.Key, error) {
	rows, _ := t.tx.Query(ctx, "select "+keyColumns+
		" from api_key where firm_id = $1 and member_id = $2 order by created_at desc, id desc", t.firm, member)
	return pgx.CollectRows(rows, scanKey)
}

// EndKey is firm.Tx.
func (t *Tx) EndKey(ctx context.Context, member id.Member, key id.Key) error {
	return t.hit(ctx, "key", "delete from api_key where firm_id = $1 and member_id = $2 and id = $3", t.firm, member, key)
}
