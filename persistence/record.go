package persistence

import (
	"context"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// part is one list of rooms' records: its query, whose rows begin with the id of
// their room, and where they go.
type part struct {
	sql  string
	into func(map[id.Room]*room.Record, pgx.Rows) error
}

// list makes a part from a query and what scans the rest of one row of it.
func list[T any](sql string, scan pgx.RowToFunc[T], field func(*room.Record) *[]T) part {
	return part{sql, func(all map[id.Room]*room.Record, rows pgx.Rows) error {
		for _, r := range all {
			*field(r) = []T{}
		}
		return deal(rows, all, scan, func(r *room.Record, v T) { *field(r) = append(*field(r), v) })
	}}
}

// deal puts every row into the record of its room.
func deal[T any](rows pgx.Rows, all map[id.Room]*room.Record, scan pgx.RowToFunc[T], put func(*room.Record, T)) error {
	defer rows.Close()
	row := afterRoom{Rows: rows}
	for rows.Next() {
		v, err := scan(&row)
		if err != nil {
			return err
		}
		if r := all[row.room]; r != nil {
			put(r, v)
		}
	}
	return rows.Err()
}

// afterRoom is a row that begins with the id of its room, for what scans the rest.
type afterRoom struct {
	pgx.Rows
	room id.Room
}

// Scan is pgx.CollectableRow.
func (r *afterRoom) Scan(into ...any) error { return r.Rows.Scan(append([]any{&r.room}, into...)...) }

// ofRooms is the query of a part whose table has the room's id.
func ofRooms(table, columns, order string) string {
	return "select room_id, " + columns + " from " + table + " where firm_id = $1 and room_id = any($2) order by " + order
}

var parts = []part{
	list(ofRooms("surface", "id, name, kind, place, pitch, outline", "place, id"), scanSurface,
		func(r *room.Record) *[]room.Surface { return &r.Surfaces }),
	list(ofRooms("datum", "id, surface_id, name, kind, place, au, av, bu, bv, sigma_mm, lean, stays_bare",
		"surface_id, place, id"), scanDatum,
		func(r *room.Record) *[]room.Datum { return &r.Datums }),
	list(ofRooms("layer", "id, surface_id, datum_id, place, name, thickness_mm, sigma_mm, stage",
		"surface_id, datum_id, place"), scanLayer,
		func(r *room.Record) *[]room.Layer { return &r.Layers }),
	list(ofRooms("timber", "id, surface_id, name, au, av, bu, bv, width_mm, depth_mm, sigma_mm",
		"surface_id, length(name), name"), scanTimber,
		func(r *room.Record) *[]room.Timber { return &r.Timbers }),
	list(ofRooms("way", "id, surface_id, name, kind, au, av, bu, bv, hole_mm, height_mm",
		"surface_id, length(name), name"), scanWay,
		func(r *room.Record) *[]room.Way { return &r.Ways }),
	list(ofRooms("position", "id, surface_id, name, kind, trade, cutout_mm, reach_mm, tail_sigma_mm, planned_u, "+
		"planned_v, added_at, held, held_why, omitted_at, omitted_why, version", "added_at, length(name), name"),
		scanPosition,
		func(r *room.Record) *[]room.Position { return &r.Positions }),
	list(measurementQuery, scanMeasurement, func(r *room.Record) *[]room.Measurement { return &r.Measurements }),
	list(ofRooms("as_built", "layer_id, stage, thickness_mm, sigma_mm, put_on, recorded_by, recorded_at",
		"recorded_at, layer_id"), scanAsBuilt,
		func(r *room.Record) *[]room.AsBuilt { return &r.Built }),
	list(ofRooms("tail_seen", "position_id, seen_by, seen_at", "seen_at, position_id"), scanTailSeen,
		func(r *room.Record) *[]room.TailSeen { return &r.Seen }),
	list(ofRooms("photo", photoColumns, "taken_at, id"), scanPhoto,
		func(r *room.Record) *[]room.Photo { return &r.Photos }),
	list(ofRooms("finished", "stage, finished_on, recorded_by, recorded_at", "recorded_at, stage"), scanFinished,
		func(r *room.Record) *[]room.Finished { return &r.Finished }),
	list(ofRooms("opening", "id, position_id, outcome, new_position_id, says, opened_by, opened_at, recorded_at",
		"opened_at, id"), scanOpening,
		func(r *room.Record) *[]room.Opening { return &r.Openings }),
	list(ofRooms("patch", "opening_id, owed_at, filled_at, dry_at", "owed_at, opening_id"), scanPatch,
		func(r *room.Record) *[]room.Patch { return &r.Patches }),
	list(ofRooms("snag", "id, says, trade, noted_by, noted_at, closed_by, closed_at", "noted_at, id"), scanSnag,
		func(r *room.Record) *[]room.Snag { return &r.Snags }),
	{gateQuery, func(all map[id.Room]*room.Record, rows pgx.Rows) error {
		return deal(rows, all, scanGate, func(r *room.Record, g room.Gate) { r.Gates[g.Stage] = g })
	}},
}

var recordQuery = "select " + roomColumns + `, j.name
	from room r join job j on j.firm_id = r.firm_id and j.id = r.job_id
	where r.firm_id = $1 and r.id = any($2) and ` + within("r.job_id")

func scanRecord(row pgx.CollectableRow) (*room.Record, error) {
	r := &room.Record{}
	return r, row.Scan(append(roomFields(&r.Room), &r.JobName)...)
}

// Records is room.Tx: every list of every room in one round trip.
func (t *Tx) Records(ctx context.Context, of []id.Room) ([]*room.Record, error) {
	batch := &pgx.Batch{}
	batch.Queue(recordQuery, t.firm, of)
	for _, p := range parts {
		batch.Queue(p.sql, t.firm, of)
	}
	results := t.tx.SendBatch(ctx, batch)
	defer results.Close()
	rows, _ := results.Query()
	found, err := pgx.CollectRows(rows, scanRecord)
	if err != nil {
		return nil, err
	}
	all := make(map[id.Room]*room.Record, len(found))
	for _, r := range found {
		all[r.ID] = r
	}
	for _, p := range parts {
		rows, _ := results.Query()
		if err := p.into(all, rows); err != nil {
			return nil, err
		}
	}
	found = found[:0]
	for _, one := range of {
		if r := all[one]; r != nil {
			found = append(found, r)
		}
	}
	return found, results.Close()
}

// Record is room.Tx.
func (t *Tx) Record(ctx context.Context, of id.Room) (*room.Record, error) {
	all, err := t.Records(ctx, []id.Room{of})
	if err == nil && len(all) == 0 {
		err = pgx.ErrNoRows
	}
	if err != nil {
		return nil, missing(err, "room")
	}
	return all[0], nil
}
