package persistence

import (
	"context"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// part is one list of a room's record: its query, and where its rows go.
type part struct {
	sql  string
	into func(*room.Record, pgx.Rows) error
}

// list makes a part from a query and what scans one row of it.
func list[T any](sql string, scan pgx.RowToFunc[T], field func(*room.Record) *[]T) part {
	return part{sql, func(r *room.Record, rows pgx.Rows) (err error) {
		*field(r), err = pgx.CollectRows(rows, scan)
		return err
	}}
}

const ofRoom = " where firm_id = $1 and room_id = $2 "

var parts = []part{
	list("select id, name, kind, place, pitch, outline from surface"+ofRoom+"order by place, id", scanSurface,
		func(r *room.Record) *[]room.Surface { return &r.Surfaces }),
	list("select id, surface_id, name, kind, place, au, av, bu, bv, sigma_mm, lean, stays_bare from datum"+ofRoom+
		"order by surface_id, place, id", scanDatum,
		func(r *room.Record) *[]room.Datum { return &r.Datums }),
	list("select id, surface_id, datum_id, place, name, thickness_mm, sigma_mm, stage from layer"+ofRoom+
		"order by surface_id, datum_id, place", scanLayer,
		func(r *room.Record) *[]room.Layer { return &r.Layers }),
	list("select id, surface_id, name, au, av, bu, bv, width_mm, depth_mm, sigma_mm from timber"+ofRoom+
		"order by surface_id, length(name), name", scanTimber,
		func(r *room.Record) *[]room.Timber { return &r.Timbers }),
	list("select id, surface_id, name, kind, au, av, bu, bv, hole_mm, height_mm from way"+ofRoom+
		"order by surface_id, length(name), name", scanWay,
		func(r *room.Record) *[]room.Way { return &r.Ways }),
	list("select id, surface_id, name, kind, trade, cutout_mm, reach_mm, tail_sigma_mm, planned_u, planned_v, "+
		"added_at, held, held_why,"+
		" omitted_at, omitted_why, version from position"+ofRoom+"order by added_at, length(name), name", scanPosition,
		func(r *room.Record) *[]room.Position { return &r.Positions }),
	list(measurementQuery, scanMeasurement, func(r *room.Record) *[]room.Measurement { return &r.Measurements }),
	list("select layer_id, stage, thickness_mm, sigma_mm, put_on, recorded_by, recorded_at from as_built"+ofRoom+
		"order by recorded_at, layer_id", scanAsBuilt,
		func(r *room.Record) *[]room.AsBuilt { return &r.Built }),
	list("select position_id, seen_by, seen_at from tail_seen"+ofRoom+"order by seen_at, position_id", scanTailSeen,
		func(r *room.Record) *[]room.TailSeen { return &r.Seen }),
	list("select "+photoColumns+" from photo"+ofRoom+"order by taken_at, id", scanPhoto,
		func(r *room.Record) *[]room.Photo { return &r.Photos }),
	list("select stage, finished_on, recorded_by, recorded_at from finished"+ofRoom+"order by recorded_at", scanFinished,
		func(r *room.Record) *[]room.Finished { return &r.Finished }),
	list("select id, position_id, outcome, new_position_id, says, opened_by, opened_at, recorded_at from opening"+ofRoom+
		"order by opened_at, id", scanOpening,
		func(r *room.Record) *[]room.Opening { return &r.Openings }),
	list("select opening_id, owed_at, filled_at, dry_at from patch"+ofRoom+"order by owed_at, opening_id", scanPatch,
		func(r *room.Record) *[]room.Patch { return &r.Patches }),
	list("select id, says, trade, noted_by, noted_at, closed_by, closed_at from snag"+ofRoom+"order by noted_at, id",
		scanSnag,
		func(r *room.Record) *[]room.Snag { return &r.Snags }),
	{gateQuery, func(r *room.Record, rows pgx.Rows) error {
		all, err := pgx.CollectRows(rows, scanGate)
		for _, g := range all {
			r.Gates[g.Stage] = g
		}
		return err
	}},
}

// Record is room.Tx: every list in one round trip.
func (t *Tx) Record(ctx context.Context, of id.Room) (*room.Record, error) {
	batch := &pgx.Batch{}
	batch.Queue("select "+roomColumns+`, j.name, j.closed_at,
			coalesce((select d.seq from diary d where d.firm_id = r.firm_id and d.job_id = r.job_id order by d.seq desc limit 1), 0)
		from room r join job j on j.firm_id = r.firm_id and j.id = r.job_id
		where r.firm_id = $1 and r.id = $2 and ($3 or r.job_id = any($4))`, t.firm, of, t.reach.every, t.reach.jobs)
	for _, p := range parts {
		batch.Queue(p.sql, t.firm, of)
	}
	results := t.tx.SendBatch(ctx, batch)
	defer results.Close()
	r := &room.Record{}
	if err := results.QueryRow().Scan(append(roomFields(&r.Room), &r.JobName, opt(&r.JobClosed), &r.Seq)...); err != nil {
		return nil, missing(err, "room")
	}
	for _, p := range parts {
		rows, _ := results.Query()
		if err := p.into(r, rows); err != nil {
			return nil, err
		}
	}
	return r, results.Close()
}
