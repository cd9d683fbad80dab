package persistence

import (
	"context"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// InsertKey is firm.Tx.
func (t *Tx) InsertKey(ctx context.Context, hash firm.Hash, k firm.Key) error {
	return t.insert(ctx, insertInto("api_key", "firm_id, id, hash, member_id, name, scope, created_at, expires_at"),
		t.firm, k.ID, hash[:], k.Member, k.Name, k.Scope, k.CreatedAt, k.EndsAt)
}

const keyColumns = "k.id, k.member_id, k.name, k.scope, k.created_at, k.expires_at, k.used_at"

func keyFields(k *firm.Key) []any {
	return []any{&k.ID, &k.Member, &k.Name, &k.Scope, &k.CreatedAt, &k.EndsAt, opt(&k.UsedAt)}
}

func scanKey(row pgx.CollectableRow) (k firm.Key, err error) {
	err = row.Scan(keyFields(&k)...)
	return k, err
}

// Key is firm.Tx.
func (t *Tx) Key(ctx context.Context, hash firm.Hash, at time.Time) (k firm.Key, as firm.Session, err error) {
	err = t.tx.QueryRow(ctx, "select "+keyColumns+", f.name, f.zone, "+personColumns+`
		from api_key k join firm f on f.firm_id = k.firm_id join member m on m.firm_id = k.firm_id and m.id = k.member_id
		where k.firm_id = $1 and k.hash = $2 and k.expires_at > $3 and m.left_at is null`, t.firm, hash[:], at).
		Scan(slices.Concat(keyFields(&k), []any{&as.FirmName, &as.Zone}, personFields(&as.Person))...)
	return k, as, missing(err, "key")
}

// UseKey is firm.Tx.
func (t *Tx) UseKey(ctx context.Context, key id.Key, at time.Time) error {
	return t.hit(ctx, "key", "update api_key set used_at = greatest(used_at, $3) where firm_id = $1 and id = $2", t.firm,
		key, at)
}

// Keys is firm.Tx.
func (t *Tx) Keys(ctx context.Context, member id.Member) ([]firm.Key, error) {
	return many(ctx, t, scanKey, "select "+keyColumns+
		" from api_key k where firm_id = $1 and member_id = $2 order by created_at desc, id desc", t.firm, member)
}

// EndKey is firm.Tx.
func (t *Tx) EndKey(ctx context.Context, member id.Member, key id.Key) error {
	return t.hit(ctx, "key", "delete from api_key where firm_id = $1 and member_id = $2 and id = $3", t.firm, member, key)
}
