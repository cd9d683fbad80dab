package persistence

import (
	"context"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/programme"
)

// mine is the condition that a room, which an argument has, is of a job that whoever asks may
// see: what is written there meets no row otherwise.
func mine(room string) string {
	return "exists (select from room r where r.firm_id = $1 and r.id = " + room + " and " + within("r.job_id") + ")"
}

// SavePin is programme.Tx.
func (t *Tx) SavePin(ctx context.Context, p programme.Pin) error {
	return t.hit(ctx, "room", `insert into pin (firm_id, room_id, stage, trade, on_day, pinned_by, pinned_at)
		select $1, $2::uuid, $3, $4, $5::date, $6::uuid, $7::timestamptz where `+mine("$2")+`
		on conflict (firm_id, room_id, stage, trade) do update
		set on_day = excluded.on_day, pinned_by = excluded.pinned_by, pinned_at = excluded.pinned_at`,
		t.firm, p.Piece.Room, p.Piece.Stage.Code(), p.Piece.Trade, p.On, null(p.By), p.At)
}

// DeletePin is programme.Tx.
func (t *Tx) DeletePin(ctx context.Context, of programme.Piece) error {
	return t.hit(ctx, "pin", "delete from pin where firm_id = $1 and room_id = $2 and stage = $3 and trade = $4 and "+
		mine("$2"), t.firm, of.Room, of.Stage.Code(), of.Trade)
}

// InsertPromise is programme.Tx.
func (t *Tx) InsertPromise(ctx context.Context, p programme.Promise, instead id.Promise) error {
	if _, err := t.Job(ctx, p.Job); err != nil {
		return err
	}
	return t.insert(ctx, insertInto("promise", "firm_id, id, job_id, room_id, to_trade, stage, on_day, given_by, "+
		"given_at, in_place_of, why"), t.firm, p.ID, p.Job, null(p.Room), p.To, p.Stage.Code(), p.On, p.GivenBy,
		p.GivenAt, null(instead), p.Why)
}

// SaveOwed is programme.Tx.
func (t *Tx) SaveOwed(ctx context.Context, o programme.Owed, at time.Time) error {
	return t.hit(ctx, "room", `insert into owed (firm_id, id, room_id, stage, what, lead, by_trade, since, came, saved_at)
		select $1, $2::uuid, $3::uuid, $4, $5, $6::int, $7, $8::date, $9::date, $10::timestamptz where `+mine("$3")+`
		on conflict (firm_id, id) do update set stage = excluded.stage, what = excluded.what, lead = excluded.lead,
		by_trade = excluded.by_trade, since = excluded.since, came = excluded.came where owed.room_id = excluded.room_id`,
		t.firm, o.ID, o.Room, o.For.Code(), o.What, o.Lead, o.By, null(o.Since), null(o.Came), at)
}

// DeleteOwed is programme.Tx.
func (t *Tx) DeleteOwed(ctx context.Context, owed id.Owed) error {
	return t.hit(ctx, "thing owed", "delete from owed where firm_id = $1 and id = $2 and "+mine("room_id"), t.firm, owed)
}

// SetThrough is programme.Tx.
func (t *Tx) SetThrough(ctx context.Context, of id.Room, by []id.Room) error {
	if err := t.hit(ctx, "room", "select where "+mine("$2"), t.firm, of); err != nil {
		return err
	}
	if err := t.run(ctx, "delete from through where firm_id = $1 and room_id = $2", t.firm, of); err != nil {
		return err
	}
	return t.run(ctx, `insert into through (firm_id, room_id, by_room)
		select $1, $2, r.id from room r where r.firm_id = $1 and r.id = any($3)`, t.firm, of, by)
}

// SaveComing is programme.Tx.
func (t *Tx) SaveComing(ctx context.Context, c programme.Coming) error {
	if _, err := t.Job(ctx, c.Job); err != nil {
		return err
	}
	return t.run(ctx, insertInto("coming", "firm_id, crew_id, job_id, on_day, said_by, said_at")+
		" on conflict (firm_id, crew_id, job_id, on_day) do nothing", t.firm, c.Crew, c.Job, c.On, null(c.By), c.At)
}
