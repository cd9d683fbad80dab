package persistence

import (
	"context"
	"strings"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
)

// LockRooms is job.Tx. In the order of their ids, so that two who lock the same
// rooms wait for each other and no more.
func (t *Tx) LockRooms(ctx context.Context, of id.Job) error {
	if _, err := t.Job(ctx, of); err != nil {
		return err
	}
	return t.run(ctx, "select from room where firm_id = $1 and job_id = $2 order by id for no key update", t.firm,
		of)
}

// UpdateJob is job.Tx.
func (t *Tx) UpdateJob(ctx context.Context, j job.Job, version int64) error {
	if _, err := t.Job(ctx, j.ID); err != nil {
		return err
	}
	return t.update(ctx, `update job set name = $4, address = $5, closed_at = $6, version = version + 1
		where firm_id = $1 and id = $2 and $3::bigint in (0, version)`,
		t.firm, j.ID, version, j.Name, j.Address, null(j.ClosedAt))
}

// LeftOpen is job.Tx. A room that cannot be read is left out.
func (t *Tx) LeftOpen(ctx context.Context, of id.Job) ([]job.Left, error) {
	if _, err := t.Job(ctx, of); err != nil {
		return nil, err
	}
	all, err := sift(ctx, t, scanLeft, `r.id, r.name, g.stage, g.state,
		array(select s.says from snag s where s.firm_id = r.firm_id and s.room_id = r.id and s.closed_at is null
			order by s.noted_at, s.id),
		(select count(*) from act a where a.firm_id = r.firm_id and a.room_id = r.id and a.answer = 'both'
			and a.choice is null),
		coalesce((select json_agg(json_build_object('name', p.name, 'why', p.held_why)
			order by p.added_at, length(p.name), p.name) from "position" p
			where p.firm_id = r.firm_id and p.room_id = r.id and p.held and p.omitted_at is null), '[]')`,
		`room r left join lateral (select stage, state from gate where firm_id = r.firm_id and room_id = r.id
			and state <> 'signed_off' order by place limit 1) g on true
		where r.firm_id = $1 and r.job_id = $2`, "r.place, r.created_at, r.id", "r.id", t.firm, of)
	var out []job.Left
	for _, l := range all {
		if len(l.Says()) > 0 {
			out = append(out, l)
		}
	}
	return out, err
}

func scanLeft(row pgx.CollectableRow) (l job.Left, err error) {
	var stage, state *string
	if err := row.Scan(&l.Room, &l.Name, &stage, &state, &l.Snags, &l.Choices, &l.Held); err != nil || stage == nil {
		return l, err
	}
	s, err := words.ParseStage(*stage)
	if err == nil {
		l.Stage = &s
		l.State, err = words.ParseState(*state)
	}
	return l, err
}

// JobHolds is job.Tx.
func (t *Tx) JobHolds(ctx context.Context, of id.Job) (h job.Holds, err error) {
	err = t.tx.QueryRow(ctx, `select
		(select count(*) from diary where firm_id = $1 and job_id = $2 and act not in ('add_job', 'rename_job')),
		(select count(*) from invitation_job where firm_id = $1 and job_id = $2)`, t.firm, of).Scan(&h.Lines, &h.Codes)
	return h, err
}

// RemoveJob is job.Tx.
func (t *Tx) RemoveJob(ctx context.Context, of id.Job) error {
	if _, err := t.Job(ctx, of); err != nil {
		return err
	}
	return t.hit(ctx, "job", "select where remove_job($1, $2)", t.firm, of)
}

// literally takes the meaning out of what LIKE reads otherwise than it stands.
var literally = strings.NewReplacer(`\`, `\\`, "%", `\%`, "_", `\_`)

// Find is job.Tx.
func (t *Tx) Find(ctx context.Context, words []string, limit int) ([]job.Hit, error) {
	patterns := make([]string, len(words))
	for i, w := range words {
		patterns[i] = "%" + literally.Replace(w) + "%"
	}
	rows, _ := t.tx.Query(ctx, `with site as materialized (select j.*, j.name || ' ' || j.address as called from job j
			where j.firm_id = $1 and `+within("j.id")+`)
		select job, job_name, address, closed_at, room, room_name, "position", surface, name from (
			select 1 as kind, j.id as job, j.name as job_name, j.address, j.closed_at, null::uuid as room, '' as room_name,
				null::uuid as "position", null::uuid as surface, '' as name, j.created_at, 0 as place
			from site j where j.called ilike all($2)
			union all
			select 2, j.id, j.name, j.address, j.closed_at, r.id, r.name, null, null, '', j.created_at, r.place
			from site j join room r on r.firm_id = j.firm_id and r.job_id = j.id
			where r.name || ' ' || j.called ilike all($2) and r.name ilike any($2)
			union all
			select 3, j.id, j.name, j.address, j.closed_at, r.id, r.name, p.id, p.surface_id, p.name, j.created_at, r.place
			from site j join room r on r.firm_id = j.firm_id and r.job_id = j.id
			join "position" p on p.firm_id = r.firm_id and p.room_id = r.id
			where p.name || ' ' || r.name || ' ' || j.called ilike all($2) and p.name ilike any($2)) hit
		order by kind, closed_at is not null, created_at desc, job, place, room, length(name), name limit $3`,
		t.firm, patterns, limit)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (h job.Hit, err error) {
		err = row.Scan(&h.Job, &h.JobName, &h.Address, opt(&h.ClosedAt), opt(&h.Room), &h.RoomName, opt(&h.Position),
			opt(&h.Surface), &h.Name)
		return h, err
	})
}

// RemoveRoom is room.Tx.
func (t *Tx) RemoveRoom(ctx context.Context, of id.Room) error {
	if _, _, err := t.LockRoom(ctx, of); err != nil {
		return err
	}
	return t.hit(ctx, "room", "select where remove_room($1, $2)", t.firm, of)
}

// ActsIn is room.Tx.
func (t *Tx) ActsIn(ctx context.Context, of id.Room) (n int, err error) {
	err = t.tx.QueryRow(ctx, "select count(*) from act where firm_id = $1 and room_id = $2", t.firm, of).Scan(&n)
	return n, err
}
