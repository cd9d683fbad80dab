package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// LockRoom is deed.Tx. The clock is read once the lock is there.
func (t *Tx) LockRoom(ctx context.Context, of id.Room) (h room.Head, at time.Time, err error) {
	err = t.tx.QueryRow(ctx, "with locked as materialized (select id, revision from room where firm_id = $1 and id = $2 "+
		"and "+within("job_id")+" for no key update) "+
		"select id, revision, (select zone from firm where firm_id = $1), clock_timestamp() from locked", t.firm, of).
		Scan(&h.Room, &h.Revision, &h.Zone, &at)
	return h, at.UTC(), missing(err, "room")
}

const roomColumns = "r.id, r.job_id, r.name, r.place, r.use, r.outline, r.height_mm, r.wet, r.created_at, " +
	"r.revision, r.version"

func roomFields(r *room.Room) []any {
	return []any{&r.ID, &r.Job, &r.Name, &r.Place, &r.Use, &r.Outline, &r.Height, &r.Wet, &r.CreatedAt, &r.Revision,
		&r.Version}
}

func scanRoom(row pgx.CollectableRow) (r room.Room, err error) {
	err = row.Scan(roomFields(&r)...)
	return r, err
}

// RoomsOf is room.Tx. One that cannot be read is left out, and says so itself.
func (t *Tx) RoomsOf(ctx context.Context, job id.Job) ([]room.Room, error) {
	return sift(ctx, t, scanRoom, roomColumns, "room r where r.firm_id = $1 and r.job_id = $2 and "+within("r.job_id"),
		"r.place, r.created_at, r.id", "r.id", t.firm, job)
}

// AllRooms is room.Tx, as RoomsOf.
func (t *Tx) AllRooms(ctx context.Context) ([]room.Room, error) {
	return sift(ctx, t, scanRoom, roomColumns, `room r join job j on j.firm_id = r.firm_id and j.id = r.job_id
		where r.firm_id = $1 and j.closed_at is null and `+within("r.job_id"),
		"j.created_at desc, j.id desc, r.place, r.created_at, r.id", "r.id", t.firm)
}

// InsertRoom is room.Tx.
func (t *Tx) InsertRoom(ctx context.Context, r room.Room) error {
	return t.soon.insert(ctx, insertInto("room",
		"firm_id, id, job_id, name, place, use, outline, height_mm, wet, created_at"),
		t.firm, r.ID, r.Job, r.Name, r.Place, r.Use, r.Outline, r.Height, r.Wet, r.CreatedAt)
}

// UpdateRoom is room.Tx.
func (t *Tx) UpdateRoom(ctx context.Context, r room.Room, version int64) error {
	return t.soon.update(ctx, `update room set name = $4, place = $5, outline = $6, height_mm = $7, wet = $8, use = $9,
		version = version + 1
		where firm_id = $1 and id = $2 and $3::bigint in (0, version)`,
		t.firm, r.ID, version, r.Name, r.Place, r.Outline, r.Height, r.Wet, r.Use)
}

// InsertSurface is room.Tx.
func (t *Tx) InsertSurface(ctx context.Context, room id.Room, s room.Surface) error {
	return t.soon.insert(ctx, insertInto("surface", "firm_id, id, room_id, name, kind, place, pitch, outline, wall"),
		t.firm, s.ID, room, s.Name, s.Kind, s.Place, s.Pitch, s.Outline, s.Wall)
}

var scanSurface = fields(func(s *room.Surface) []any {
	return []any{&s.ID, &s.Name, &s.Kind, &s.Place, &s.Pitch, &s.Outline, &s.Wall}
})

// InsertDatum is room.Tx.
func (t *Tx) InsertDatum(ctx context.Context, room id.Room, d room.Datum) error {
	bu, bv := &d.B[0], &d.B[1]
	if d.Kind == words.Point {
		bu, bv = nil, nil
	}
	return t.soon.insert(ctx, insertInto("datum",
		"firm_id, id, room_id, surface_id, name, kind, place, au, av, bu, bv, sigma_mm, lean, stays_bare, wall"),
		t.firm, d.ID, room, d.Surface, d.Name, d.Kind, d.Place, d.A[0], d.A[1], bu, bv, null(d.Sigma), d.Lean, d.StaysBare,
		d.Wall)
}

var scanDatum = fields(func(d *room.Datum) []any {
	return []any{&d.ID, &d.Surface, &d.Name, &d.Kind, &d.Place, &d.A[0], &d.A[1], opt(&d.B[0]), opt(&d.B[1]),
		opt(&d.Sigma), &d.Lean, &d.StaysBare, &d.Wall}
})

// UpdateStaysBare is room.Tx.
func (t *Tx) UpdateStaysBare(ctx context.Context, datum id.Datum, stays bool) error {
	return t.soon.hit(ctx, "datum", "update datum set stays_bare = $3 where firm_id = $1 and id = $2", t.firm, datum,
		stays)
}

// DeleteDatum is room.Tx.
func (t *Tx) DeleteDatum(ctx context.Context, datum id.Datum) error {
	return t.soon.hit(ctx, "datum", "delete from datum where firm_id = $1 and id = $2", t.firm, datum)
}

// ReplaceLayers is room.Tx.
func (t *Tx) ReplaceLayers(ctx context.Context, room id.Room, surface id.Surface, datum id.Datum,
	layers []room.Layer) error {
	if err := t.soon.run(ctx, "delete from layer where firm_id = $1 and surface_id = $2 and datum_id is not distinct "+
		"from $3",
		t.firm, surface, null(datum)); err != nil {
		return err
	}
	for _, l := range layers {
		if err := t.soon.insert(ctx, insertInto("layer",
			"firm_id, id, room_id, surface_id, datum_id, place, name, thickness_mm, sigma_mm, stage"),
			t.firm, l.ID, room, surface, null(datum), l.Place, l.Name, l.Thickness, null(l.Sigma), l.Stage.Code()); err != nil {
			return err
		}
	}
	return nil
}

var scanLayer = fields(func(l *room.Layer) []any {
	return []any{&l.ID, &l.Surface, opt(&l.Datum), &l.Place, &l.Name, &l.Thickness, opt(&l.Sigma), stageInto(&l.Stage)}
})

// InsertTimber is room.Tx.
func (t *Tx) InsertTimber(ctx context.Context, room id.Room, b room.Timber) error {
	return t.soon.insert(ctx, insertInto("timber",
		"firm_id, id, room_id, surface_id, name, au, av, bu, bv, width_mm, depth_mm, sigma_mm"),
		t.firm, b.ID, room, b.Surface, b.Name, b.A[0], b.A[1], b.B[0], b.B[1], b.Width, null(b.Depth), null(b.Sigma))
}

var scanTimber = fields(func(b *room.Timber) []any {
	return []any{&b.ID, &b.Surface, &b.Name, &b.A[0], &b.A[1], &b.B[0], &b.B[1], &b.Width, opt(&b.Depth), opt(&b.Sigma)}
})

// DeleteTimber is room.Tx.
func (t *Tx) DeleteTimber(ctx context.Context, timber id.Timber) error {
	return t.soon.hit(ctx, "timber", "delete from timber where firm_id = $1 and id = $2", t.firm, timber)
}

// InsertPosition is room.Tx.
func (t *Tx) InsertPosition(ctx context.Context, room id.Room, p room.Position) error {
	u, v := planned(p.Planned)
	return t.soon.insert(ctx, insertInto("position",
		"firm_id, id, room_id, surface_id, name, kind, trade, cutout_mm, reach_mm, tail_sigma_mm, "+
			"planned_u, planned_v, added_at"),
		t.firm, p.ID, room, p.Surface, p.Name, p.Kind, p.Trade, p.Cutout, null(p.Reach), null(p.TailSigma), u, v, p.AddedAt)
}

func planned(p *roomsheet.Point) (u, v *float64) {
	if p == nil {
		return nil, nil
	}
	return &p[0], &p[1]
}

// UpdatePosition is room.Tx.
func (t *Tx) UpdatePosition(ctx context.Context, p room.Position, version int64) error {
	u, v := planned(p.Planned)
	return t.soon.update(ctx, `update position set name = $4, kind = $5, trade = $6, cutout_mm = $7, reach_mm = $8,
		tail_sigma_mm = $9,
		planned_u = $10, planned_v = $11, held = $12, held_why = $13, omitted_at = $14, omitted_why = $15,
		version = version + 1
		where firm_id = $1 and id = $2 and $3::bigint in (0, version)`,
		t.firm, p.ID, version, p.Name, p.Kind, p.Trade, p.Cutout, null(p.Reach), null(p.TailSigma), u, v,
		p.Held, p.HeldWhy, null(p.OmittedAt), p.OmitWhy)
}

func scanPosition(row pgx.CollectableRow) (p room.Position, err error) {
	var u, v *float64
	err = row.Scan(&p.ID, &p.Surface, &p.Name, &p.Kind, &p.Trade, &p.Cutout, opt(&p.Reach), opt(&p.TailSigma), &u, &v,
		&p.AddedAt, &p.Held, &p.HeldWhy, opt(&p.OmittedAt), &p.OmitWhy, &p.Version)
	if u != nil && v != nil {
		p.Planned = &roomsheet.Point{*u, *v}
	}
	return p, err
}
