package persistence

import (
	"context"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// stageInto scans a stage's code.
func stageInto(dst *words.Stage) *stageScan { return (*stageScan)(dst) }

type stageScan words.Stage

// Scan is sql.Scanner.
func (s *stageScan) Scan(src any) error {
	text, _ := src.(string)
	stage, err := words.ParseStage(text)
	*s = stageScan(stage)
	return err
}

// InsertTailSeen is room.Tx.
func (t *Tx) InsertTailSeen(ctx context.Context, room id.Room, s room.TailSeen) error {
	return t.soon.run(ctx, insertInto("tail_seen", "firm_id, position_id, room_id, seen_by, seen_at")+
		" on conflict (firm_id, position_id) do nothing", t.firm, s.Position, room, null(s.By), s.At)
}

// DeleteTailSeen is room.Tx.
func (t *Tx) DeleteTailSeen(ctx context.Context, position id.Position) error {
	return t.soon.hit(ctx, "tail seen", "delete from tail_seen where firm_id = $1 and position_id = $2", t.firm, position)
}

var scanTailSeen = fields(func(s *room.TailSeen) []any {
	return []any{&s.Position, opt(&s.By), &s.At}
})

// SaveAsBuilt is room.Tx.
func (t *Tx) SaveAsBuilt(ctx context.Context, room id.Room, b room.AsBuilt) error {
	return t.soon.run(ctx, insertInto("as_built",
		"firm_id, layer_id, room_id, stage, thickness_mm, sigma_mm, put_on, recorded_by, recorded_at")+`
		on conflict (firm_id, layer_id) do update
		set thickness_mm = excluded.thickness_mm, sigma_mm = excluded.sigma_mm, put_on = excluded.put_on,
			recorded_by = excluded.recorded_by, recorded_at = excluded.recorded_at`,
		t.firm, b.Layer, room, b.Stage.Code(), null(b.Thickness), null(b.Sigma), b.PutOn, null(b.By), b.At)
}

var scanAsBuilt = fields(func(b *room.AsBuilt) []any {
	return []any{&b.Layer, stageInto(&b.Stage), opt(&b.Thickness), opt(&b.Sigma), &b.PutOn, opt(&b.By), &b.At}
})

// SaveFinished is room.Tx.
func (t *Tx) SaveFinished(ctx context.Context, room id.Room, f room.Finished) error {
	return t.soon.run(ctx, insertInto("finished", "firm_id, room_id, stage, finished_on, recorded_by, recorded_at")+`
		on conflict (firm_id, room_id, stage) do update
		set finished_on = excluded.finished_on, recorded_by = excluded.recorded_by, recorded_at = excluded.recorded_at`,
		t.firm, room, f.Stage.Code(), f.On, null(f.By), f.At)
}

var scanFinished = fields(func(f *room.Finished) []any {
	return []any{stageInto(&f.Stage), &f.On, opt(&f.By), &f.At}
})

// InsertOpening is room.Tx.
func (t *Tx) InsertOpening(ctx context.Context, room id.Room, o room.Opening) error {
	return t.soon.insert(ctx, insertInto("opening",
		"firm_id, id, room_id, position_id, outcome, new_position_id, says, opened_by, opened_at, recorded_at"),
		t.firm, o.ID, room, o.Position, o.Outcome, null(o.NewPosition), o.Says, null(o.By), o.At, o.RecordedAt)
}

// UpdateOpening is room.Tx.
func (t *Tx) UpdateOpening(ctx context.Context, o room.Opening) error {
	return t.soon.hit(ctx, "hole",
		"update opening set outcome = $3, new_position_id = $4, says = $5 where firm_id = $1 and id = $2",
		t.firm, o.ID, o.Outcome, null(o.NewPosition), o.Says)
}

var scanOpening = fields(func(o *room.Opening) []any {
	return []any{&o.ID, &o.Position, &o.Outcome, opt(&o.NewPosition), &o.Says, opt(&o.By), &o.At, &o.RecordedAt}
})

// SavePatch is room.Tx.
func (t *Tx) SavePatch(ctx context.Context, room id.Room, p room.Patch) error {
	return t.soon.run(ctx, insertInto("patch", "firm_id, opening_id, room_id, owed_at, filled_at, dry_at")+
		" on conflict (firm_id, opening_id) do update set filled_at = excluded.filled_at, dry_at = excluded.dry_at",
		t.firm, p.Opening, room, p.OwedAt, null(p.FilledAt), null(p.DryAt))
}

var scanPatch = fields(func(p *room.Patch) []any {
	return []any{&p.Opening, &p.OwedAt, opt(&p.FilledAt), opt(&p.DryAt)}
})

// InsertSnag is room.Tx.
func (t *Tx) InsertSnag(ctx context.Context, room id.Room, s room.Snag) error {
	return t.soon.insert(ctx, insertInto("snag", "firm_id, id, room_id, says, trade, person, due_on, noted_by, noted_at"),
		t.firm, s.ID, room, s.Says, null(s.Trade), null(s.Person), null(s.DueOn), null(s.NotedBy), s.NotedAt)
}

// SaveSnag is room.Tx.
func (t *Tx) SaveSnag(ctx context.Context, _ id.Room, s room.Snag) error {
	return t.soon.hit(ctx, "snag", `update snag set trade = $3, person = $4, due_on = $5, done_by = $6, done_at = $7,
		closed_by = $8, closed_at = $9 where firm_id = $1 and id = $2`,
		t.firm, s.ID, null(s.Trade), null(s.Person), null(s.DueOn), null(s.DoneBy), null(s.DoneAt), null(s.ClosedBy),
		null(s.ClosedAt))
}

var scanSnag = fields(func(s *room.Snag) []any {
	return []any{&s.ID, &s.Says, opt(&s.Trade), opt(&s.Person), opt(&s.DueOn), opt(&s.NotedBy), &s.NotedAt,
		opt(&s.DoneBy), opt(&s.DoneAt), opt(&s.ClosedBy), opt(&s.ClosedAt)}
})
