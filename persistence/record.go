package persistence

import (
	"context"
	"errors"
	"maps"
	"slices"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// part is one list of rooms' records: its query, whose rows begin with the id of
// their room, and where they go.
type part struct {
	noun string // one of its rows
	sql  string
	into func(map[id.Room]*room.Record, pgx.Rows) error
}

// list makes a part from a query and what scans the rest of one row of it.
func list[T any](noun, sql string, scan pgx.RowToFunc[T], field func(*room.Record) *[]T) part {
	return listOf(noun, sql, scan, func(row T, _ *room.Record) T { return row }, field)
}

// listOf is list where it takes the rest of the record to tell what a row means.
func listOf[R, T any](noun, sql string, scan pgx.RowToFunc[R], means func(R, *room.Record) T,
	field func(*room.Record) *[]T) part {
	return part{noun, sql, func(all map[id.Room]*room.Record, rows pgx.Rows) error {
		for _, r := range all {
			*field(r) = []T{}
		}
		return deal(rows, all, scan, func(r *room.Record, row R) { *field(r) = append(*field(r), means(row, r)) })
	}}
}

// deal puts every row into the record of its room.
func deal[T any](rows pgx.Rows, all map[id.Room]*room.Record, scan pgx.RowToFunc[T], put func(*room.Record, T)) error {
	defer rows.Close()
	row := afterRoom{Rows: rows}
	scan = readable(scan)
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

// ofRooms is the query of a part: room by room, so that each takes a step down an
// index that has the room, whatever the planner knows of the tables. from and where
// are of one room, which is of.room.
func ofRooms(columns, from, where, order string) string {
	return "select of.room, t.* from unnest($2::uuid[]) of(room) cross join lateral (select " + columns + " from " + from +
		" where " + where + " order by " + order + ") t"
}

// ofTable is ofRooms for a table that has the room's id.
func ofTable(table, columns, order string) string {
	return ofRooms(columns, table, "firm_id = $1 and room_id = of.room", order)
}

// parts are the lists of a record. What tells what the rows of another means comes
// before it.
var parts = []part{
	list("a surface", ofTable("surface", "id, name, kind, place, pitch, outline, wall", "place, id"), scanSurface,
		func(r *room.Record) *[]room.Surface { return &r.Surfaces }),
	list("a datum", ofTable("datum", "id, surface_id, name, kind, place, au, av, bu, bv, sigma_mm, lean, stays_bare, wall",
		"surface_id, place, id"), scanDatum,
		func(r *room.Record) *[]room.Datum { return &r.Datums }),
	list("a layer", ofTable("layer", "id, surface_id, datum_id, place, name, thickness_mm, sigma_mm, stage",
		"surface_id, datum_id, place"), scanLayer,
		func(r *room.Record) *[]room.Layer { return &r.Layers }),
	list("a timber", ofTable("timber", "id, surface_id, name, au, av, bu, bv, width_mm, depth_mm, sigma_mm",
		"surface_id, length(name), name"), scanTimber,
		func(r *room.Record) *[]room.Timber { return &r.Timbers }),
	list("a way of a cable", ofTable("way", "id, surface_id, name, kind, au, av, bu, bv, hole_mm, height_mm",
		"surface_id, length(name), name"), scanWay,
		func(r *room.Record) *[]room.Way { return &r.Ways }),
	list("a position", ofTable("position",
		"id, surface_id, name, kind, trade, cutout_mm, reach_mm, tail_sigma_mm, planned_u, "+
			"planned_v, added_at, held, held_why, omitted_at, omitted_why, version", "added_at, length(name), name"),
		scanPosition,
		func(r *room.Record) *[]room.Position { return &r.Positions }),
	listOf("a reading", ofTable("measurement",
		"id, surface_id, name, kind, stage, of_id, to_position_id, from_id, to_id, "+
			"state_known, state_id, to_state_known, to_state_id, from_state_id, surface_state_id, value_mm, sigma_mm, "+
			"instrument, taken_by, taken_at, struck_at, struck_why, version, since", "taken_at, id"), scanReading, reading.in,
		func(r *room.Record) *[]room.Measurement { return &r.Measurements }),
	list("a layer as built", ofTable("as_built",
		"layer_id, stage, thickness_mm, sigma_mm, put_on, recorded_by, recorded_at",
		"recorded_at, layer_id"), scanAsBuilt,
		func(r *room.Record) *[]room.AsBuilt { return &r.Built }),
	list("a tail that was seen", ofTable("tail_seen", "position_id, seen_by, seen_at", "seen_at, position_id"),
		scanTailSeen,
		func(r *room.Record) *[]room.TailSeen { return &r.Seen }),
	list("a photo", ofTable("photo", photoColumns, "taken_at, id"), scanPhoto,
		func(r *room.Record) *[]room.Photo { return &r.Photos }),
	list("the day a stage was finished", ofTable("finished", "stage, finished_on, recorded_by, recorded_at",
		"recorded_at, stage"), scanFinished,
		func(r *room.Record) *[]room.Finished { return &r.Finished }),
	list("a hole", ofTable("opening", "id, position_id, outcome, new_position_id, says, opened_by, opened_at, recorded_at",
		"opened_at, id"), scanOpening,
		func(r *room.Record) *[]room.Opening { return &r.Openings }),
	list("a patch", ofTable("patch", "opening_id, owed_at, filled_at, dry_at", "owed_at, opening_id"), scanPatch,
		func(r *room.Record) *[]room.Patch { return &r.Patches }),
	list("a snag", ofTable("snag", "id, says, trade, person, due_on, noted_by, noted_at, done_by, done_at, "+
		"closed_by, closed_at", "noted_at, id"), scanSnag,
		func(r *room.Record) *[]room.Snag { return &r.Snags }),
	{"a gate", ofRooms("g.stage, g.state, g.withdrawn, g.offered_by, g.offered_at, g.sign_off_id, s.signed_by, "+
		"s.signed_at, "+
		"s.revision, m.name, "+
		"(select min(x.signed_at) from sign_off x where x.firm_id = g.firm_id and x.room_id = g.room_id "+
		"and x.stage = g.stage)",
		`gate g left join sign_off s on s.firm_id = g.firm_id and s.id = g.sign_off_id
			left join member m on m.firm_id = s.firm_id and m.id = s.signed_by`,
		"g.firm_id = $1 and g.room_id = of.room", "g.place"), func(all map[id.Room]*room.Record, rows pgx.Rows) error {
		return deal(rows, all, scanGate, func(r *room.Record, g gateRow) {
			r.Gates[g.Stage], r.FirstSigned[g.Stage] = g.Gate, g.first
		})
	}},
}

var recordQuery = ofRooms(roomColumns+", j.name, j.closed_at, f.zone",
	"room r join job j on j.firm_id = r.firm_id and j.id = r.job_id join firm f on f.firm_id = r.firm_id",
	"r.firm_id = $1 and r.id = of.room and "+within("r.job_id"), "r.id")

func scanRecord(row pgx.CollectableRow) (*room.Record, error) {
	r := &room.Record{}
	return r, row.Scan(append([]any{&r.ID}, append(roomFields(&r.Room), &r.JobName, opt(&r.JobClosed), &r.Zone)...)...)
}

// Records is room.Tx: every list of every room in one round trip.
func (t *Tx) Records(ctx context.Context, of []id.Room) ([]*room.Record, error) {
	all := make(map[id.Room]*room.Record, len(of))
	for _, one := range of {
		all[one] = nil
	}
	each := slices.Collect(maps.Keys(all))
	batch := &pgx.Batch{}
	batch.Queue(recordQuery, t.firm, each)
	for _, p := range parts {
		batch.Queue(p.sql, t.firm, each)
	}
	err := fill(all, t.tx.SendBatch(ctx, batch))
	var bad *unreadable
	switch {
	case errors.As(err, &bad) && len(each) == 1:
		return []*room.Record{{Room: room.Room{ID: each[0]}, Broken: room.Unreadable(bad.noun, err)}}, nil
	case errors.As(err, &bad): // each by itself, so that one is in nobody's way
		return t.oneByOne(ctx, of)
	case err != nil:
		return nil, err
	}
	var found []*room.Record
	for _, one := range of {
		if r := all[one]; r != nil {
			found = append(found, r)
		}
	}
	return found, nil
}

func (t *Tx) oneByOne(ctx context.Context, of []id.Room) (found []*room.Record, err error) {
	for _, one := range of {
		r, err := t.Records(ctx, []id.Room{one})
		if err != nil {
			return nil, err
		}
		found = append(found, r...)
	}
	return found, nil
}

// fill reads the rooms and their parts from the answers to their queries.
func fill(all map[id.Room]*room.Record, results pgx.BatchResults) (err error) {
	defer func() {
		if closing := results.Close(); err == nil {
			err = closing
		}
	}()
	rows, _ := results.Query()
	found, err := pgx.CollectRows(rows, readable(scanRecord))
	if err != nil {
		return of("the room itself", err)
	}
	clear(all)
	for _, r := range found {
		all[r.ID] = r
	}
	for _, p := range parts {
		rows, _ := results.Query()
		if err := p.into(all, rows); err != nil {
			return of(p.noun, err)
		}
	}
	return nil
}

// of names what an unreadable row is of.
func of(noun string, err error) error {
	var bad *unreadable
	if errors.As(err, &bad) {
		bad.noun = noun
	}
	return err
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
	return all[0], all[0].Broken
}
