package persistence

import (
	"cmp"
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// InsertFirm is firm.Tx.
func (t *Tx) InsertFirm(ctx context.Context, f firm.Firm) error {
	return t.run(ctx, insertInto("firm", "firm_id, name, created_at, zone"), f.ID, f.Name, f.CreatedAt,
		cmp.Or(f.Zone, words.UTC))
}

// Firm is firm.Tx.
func (t *Tx) Firm(ctx context.Context) (f firm.Firm, err error) {
	var idle, absolute int
	err = t.tx.QueryRow(ctx, "select firm_id, name, created_at, session_idle_min, session_absolute_min, zone, "+
		"need_passkey from "+
		"firm where firm_id = $1", t.firm).
		Scan(&f.ID, &f.Name, &f.CreatedAt, &idle, &absolute, &f.Zone, &f.NeedPasskey)
	f.Limits = firm.Limits{Idle: time.Duration(idle) * time.Minute, Absolute: time.Duration(absolute) * time.Minute}
	return f, missing(err, "firm")
}

// SaveZone is firm.Tx.
func (t *Tx) SaveZone(ctx context.Context, z words.Zone) error {
	return t.hit(ctx, "firm", "update firm set zone = $2 where firm_id = $1", t.firm, z)
}

// InsertMember is firm.Tx.
func (t *Tx) InsertMember(ctx context.Context, m firm.Member) error {
	return t.insert(ctx, insertInto("member", "firm_id, id, name, role, trade, every_job, created_at"),
		t.firm, m.ID, m.Name, m.Role, null(m.Trade), m.EveryJob, m.CreatedAt)
}

const memberColumns = "firm_id, id, name, role, trade, every_job, email, created_at, left_at, has_signed_in"

var scanMember = fields(func(m *firm.Member) []any {
	return []any{&m.Firm, &m.ID, &m.Name, &m.Role, opt(&m.Trade), &m.EveryJob, opt(&m.Email), &m.CreatedAt, opt(&m.LeftAt),
		&m.HasSignedIn}
})

// Member is firm.Tx.
func (t *Tx) Member(ctx context.Context, member id.Member) (firm.Member, error) {
	return one(ctx, t, "person", scanMember, "select "+memberColumns+" from member where firm_id = $1 and id = $2", t.firm,
		member)
}

const allMembers = "select " + memberColumns +
	" from member where firm_id = $1 order by left_at nulls first, created_at, id"

// Members is firm.Tx.
func (t *Tx) Members(ctx context.Context) ([]firm.Member, error) {
	return many(ctx, t, scanMember, allMembers, t.firm)
}

// EndMember is firm.Tx.
func (t *Tx) EndMember(ctx context.Context, member id.Member, at time.Time) error {
	return t.hit(ctx, "person", "update member set left_at = coalesce(left_at, $3) where firm_id = $1 and id = $2", t.firm,
		member, at)
}

// InsertOneTimeLink is firm.Tx.
func (t *Tx) InsertOneTimeLink(ctx context.Context, hash firm.Hash, member id.Member, made, expires time.Time) error {
	return t.run(ctx, insertInto("one_time_link", "firm_id, hash, member_id, created_at, expires_at"),
		t.firm, hash[:], member, made, expires)
}

// WaitingLinks is firm.Tx.
func (t *Tx) WaitingLinks(ctx context.Context, member id.Member, at time.Time) (n int, err error) {
	err = t.tx.QueryRow(ctx, `select count(*) from one_time_link
		where firm_id = $1 and member_id = $2 and used_at is null and expires_at > $3`, t.firm, member, at).Scan(&n)
	return n, err
}

// OneTimeLink is firm.Tx.
func (t *Tx) OneTimeLink(ctx context.Context, hash firm.Hash, at time.Time) (member id.Member, err error) {
	err = t.tx.QueryRow(ctx, `select member_id from one_time_link
		where firm_id = $1 and hash = $2 and used_at is null and expires_at > $3`, t.firm, hash[:], at).Scan(&member)
	return member, missing(err, "link")
}

// UseOneTimeLink is firm.Tx.
func (t *Tx) UseOneTimeLink(ctx context.Context, hash firm.Hash, at time.Time) (member id.Member, err error) {
	err = t.tx.QueryRow(ctx, `update one_time_link set used_at = $3
		where firm_id = $1 and hash = $2 and used_at is null and expires_at > $3 returning member_id`,
		t.firm, hash[:], at).Scan(&member)
	return member, missing(err, "link")
}

// BuildUps is firm.Tx.
func (t *Tx) BuildUps(ctx context.Context) ([]firm.BuildUp, error) {
	rows, _ := t.tx.Query(ctx, `select b.id, b.name, l.name, l.thickness_mm, l.sigma_mm, l.stage
		from build_up b join build_up_layer l on l.firm_id = b.firm_id and l.build_up_id = b.id
		where b.firm_id = $1 order by b.name, b.id, l.place`, t.firm)
	var out []firm.BuildUp
	var b firm.BuildUp
	var l firm.Layer
	var stage string
	_, err := pgx.ForEachRow(rows, []any{&b.ID, &b.Name, &l.Name, &l.Thickness, opt(&l.Sigma), &stage},
		func() (err error) {
			if l.Stage, err = words.ParseStage(stage); err != nil {
				return err
			}
			if n := len(out); n == 0 || out[n-1].ID != b.ID {
				out = append(out, firm.BuildUp{ID: b.ID, Name: b.Name})
			}
			last := &out[len(out)-1]
			last.Layers = append(last.Layers, l)
			return nil
		})
	return out, err
}

// SaveBuildUp is firm.Tx.
func (t *Tx) SaveBuildUp(ctx context.Context, b firm.BuildUp, at time.Time) error {
	if err := t.run(ctx, insertInto("build_up", "firm_id, id, name, created_at")+
		" on conflict (firm_id, id) do update set name = excluded.name", t.firm, b.ID, b.Name, at); err != nil {
		return err
	}
	if err := t.run(ctx, "delete from build_up_layer where firm_id = $1 and build_up_id = $2", t.firm,
		b.ID); err != nil {
		return err
	}
	for i, l := range b.Layers {
		if err := t.run(ctx, insertInto("build_up_layer", "firm_id, build_up_id, place, name, thickness_mm, sigma_mm, stage"),
			t.firm, b.ID, i+1, l.Name, l.Thickness, null(l.Sigma), l.Stage.Code()); err != nil {
			return err
		}
	}
	return nil
}
