package persistence

import (
	"context"
	"encoding/json"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/id"
)

const actColumns = `a.id, a.room_id, a.member_id, a.kind, a.made_at, a.done_at, a.came_at, a.copy_seq,
	a.deed::text,
		a.answer, a.says, a.mine, a.theirs, a.fields::text, coalesce(a.clash::text, ''), a.choice, a.chosen_by, a.chosen_at,
		r.job_id, r.name`

const (
	fromAct  = "act a join room r on r.firm_id = a.firm_id and r.id = a.room_id where a.firm_id = $1 and "
	actQuery = "select " + actColumns + " from " + fromAct
)

func scanAct(row pgx.CollectableRow) (a deed.StoredAct, err error) {
	var deed, fields, clash string
	if err := row.Scan(&a.ID, &a.Room, &a.Member, &a.Kind, &a.Made, &a.Done, &a.Came, &a.Copy, &deed,
		&a.Answer.Word, &a.Answer.Says, &a.Answer.Mine, &a.Answer.Theirs, &fields, &clash,
		opt(&a.Choice), opt(&a.ChosenBy), opt(&a.ChosenAt), &a.Job, &a.RoomName); err != nil {
		return a, err
	}
	a.Answer.Act, a.Deed = a.ID, []byte(deed)
	if clash != "" {
		a.Clash = []byte(clash)
	}
	return a, json.Unmarshal([]byte(fields), &a.Answer.Fields)
}

// Act is deed.Tx.
func (t *Tx) Act(ctx context.Context, act id.Act) (deed.StoredAct, error) {
	return one(ctx, t, "record", scanAct, actQuery+"a.id = $2", t.firm, act)
}

// Acts is deed.Tx.
func (t *Tx) Acts(ctx context.Context, acts []id.Act) ([]deed.StoredAct, error) {
	ids := make([]string, len(acts))
	for i, a := range acts {
		ids[i] = a.String()
	}
	return many(ctx, t, scanAct, actQuery+"a.id = any($2::text[]::uuid[])", t.firm, ids)
}

const fromOpenActs = fromAct + `a.answer = 'both' and a.choice is null
		and exists (select from job j where j.firm_id = r.firm_id and j.id = r.job_id and j.closed_at is null)
		and ($2::uuid is null or a.member_id = $2) and ($3::uuid is null or a.room_id = $3)`

const (
	openOrder = "a.came_at, a.id"
	openActs  = "select " + actColumns + " from " + fromOpenActs + " order by " + openOrder
)

// OpenActs is deed.Tx. Across rooms, one that cannot be read is in nobody's way.
func (t *Tx) OpenActs(ctx context.Context, of id.Member, in id.Room) ([]deed.StoredAct, error) {
	if in.IsZero() {
		return sift(ctx, t, scanAct, actColumns, fromOpenActs, openOrder, "a.id", t.firm, null(of), null(in))
	}
	return many(ctx, t, scanAct, openActs, t.firm, null(of), null(in))
}

// SaveAct is deed.Tx.
func (t *Tx) SaveAct(ctx context.Context, a deed.StoredAct) error {
	fields, err := json.Marshal(a.Answer.Fields)
	if err != nil {
		return err
	}
	if a.Answer.Fields == nil {
		fields = []byte("[]")
	}
	return t.soon.write(ctx, fault.Conflict, "This came already, and was answered.",
		`insert into act (firm_id, id, room_id, member_id, kind, made_at, done_at, came_at,
			copy_seq, deed, answer, says, mine, theirs, fields, clash)
		values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10::text::json, $11, $12, $13, $14, $15::text::json, $16::text::json)
		on conflict (firm_id, id) do update set made_at = excluded.made_at, done_at = excluded.done_at,
		came_at = excluded.came_at, copy_seq = excluded.copy_seq,
			deed = excluded.deed, answer = excluded.answer, says = excluded.says, mine = excluded.mine, theirs = excluded.theirs,
			fields = excluded.fields, clash = excluded.clash
		where act.answer = 'refused' and act.member_id = excluded.member_id`,
		t.firm, a.ID, a.Room, a.Member, a.Kind, a.Made, a.Done, a.Came, a.Copy, string(a.Deed), a.Answer.Word, a.Answer.Says,
		a.Answer.Mine, a.Answer.Theirs,
		string(fields), null(string(a.Clash)))
}

// ChooseAct is deed.Tx.
func (t *Tx) ChooseAct(ctx context.Context, act id.Act, c deed.Choice, by id.Member, at time.Time) error {
	return t.soon.update(ctx, "update act set choice = $3, chosen_by = $4, chosen_at = $5 where firm_id = $1 and id = $2 "+
		"and choice is null",
		t.firm, act, c, by, at)
}

// RoomActs is proof.Tx.
func (t *Tx) RoomActs(ctx context.Context, of id.Room) ([]deed.StoredAct, error) {
	return many(ctx, t, scanAct, actQuery+"a.room_id = $2 and "+within("r.job_id")+" order by a.came_at, a.id", t.firm, of)
}

// RoomDiary is deed.Tx.
func (t *Tx) RoomDiary(ctx context.Context, room id.Room, after int64) ([]diary.Entry, error) {
	return many(ctx, t, scanEntry, "select "+entryColumns+
		" from diary where firm_id = $1 and room_id = $2 and seq > $3 order by seq", t.firm, room, after)
}

// ActsOf is subjectdata.Tx.
func (t *Tx) ActsOf(ctx context.Context, member id.Member) ([]deed.StoredAct, error) {
	return many(ctx, t, scanAct, actQuery+"a.member_id = $2 and "+within("r.job_id")+" order by a.done_at, a.id",
		t.firm, member)
}
