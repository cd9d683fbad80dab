package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// UpdateGate is room.Tx. Who offered a stage stays with it while it is signed
// off.
func (t *Tx) UpdateGate(ctx context.Context, room id.Room, g room.Gate) error {
	return t.soon.hit(ctx, "gate", `update gate set state = $4, sign_off_id = $5,
		offered_by = case $4 when 'signed_off' then offered_by else $6::uuid end,
		offered_at = case $4 when 'signed_off' then offered_at else $7::timestamptz end, withdrawn = $8
		where firm_id = $1 and room_id = $2 and stage = $3`,
		t.firm, room, g.Stage.Code(), g.State.Code(), null(g.SignOff), null(g.OfferedBy), null(g.OfferedAt),
		g.Withdrawn)
}

// gateRow is a gate with when its stage was signed off for the first time.
type gateRow struct {
	room.Gate
	first time.Time
}

func scanGate(row pgx.CollectableRow) (g gateRow, err error) {
	var state string
	var signer firm.Person
	err = row.Scan(stageInto(&g.Stage), &state, &g.Withdrawn, opt(&g.OfferedBy), opt(&g.OfferedAt),
		opt(&g.SignOff), opt(&g.SignedBy), opt(&g.SignedAt), opt(&g.Revision), opt(&signer.Name), opt(&g.first))
	if err != nil {
		return g, err
	}
	g.Initials = signer.Initials()
	g.State, err = words.ParseState(state)
	return g, err
}

// InsertSignOff is deed.Tx.
func (t *Tx) InsertSignOff(ctx context.Context, room id.Room, job id.Job, s room.SignOff) (signer string, err error) {
	if err := t.soon.insert(ctx, `insert into sign_off
			(firm_id, id, room_id, job_id, stage, signed_by, signed_at, accepted, room_sheet, set_out, evidence, sha256,
			diary_seq)
		values ($1, $2, $3, $4, $5, $6, $7, $8::text::json, $9::text::json, $10::text::json, $11::text::json, $12, $13)`,
		t.firm, s.ID, room, job, s.Stage.Code(), s.By, s.At, string(s.Accepted), string(s.RoomSheet), string(s.SetOut),
		string(s.Evidence), s.SHA256[:], s.DiarySeq); err != nil {
		return "", err
	}
	err = t.tx.QueryRow(ctx, "select name from member where firm_id = $1 and id = $2 for share", t.firm,
		s.By).Scan(&signer)
	return signer, missing(err, "person")
}

// SignOffs is room.Tx.
func (t *Tx) SignOffs(ctx context.Context, of id.Room) ([]room.SignOff, error) {
	rows, _ := t.tx.Query(ctx, `select id, stage, signed_by, signed_at, accepted::text, room_sheet::text, set_out::text,
		coalesce(evidence::text, ''), revision, sha256, diary_seq
		from sign_off where firm_id = $1 and room_id = $2 order by diary_seq`, t.firm, of)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (s room.SignOff, err error) {
		var accepted, sheet, setOut, evidence string
		var sum []byte
		err = row.Scan(&s.ID, stageInto(&s.Stage), &s.By, &s.At, &accepted, &sheet, &setOut, &evidence,
			&s.Revision, &sum, &s.DiarySeq)
		s.Accepted, s.RoomSheet, s.SetOut, s.Evidence = []byte(accepted), []byte(sheet), []byte(setOut), []byte(evidence)
		copy(s.SHA256[:], sum)
		return s, err
	})
}

// Strays is proof.Tx.
func (t *Tx) Strays(ctx context.Context, of id.Room) ([]id.SignOff, error) {
	return many(ctx, t, pgx.RowTo[id.SignOff], `select s.id from sign_off s
		join room r on r.firm_id = s.firm_id and r.id = s.room_id
		where s.firm_id = $1 and s.room_id = $2 and s.job_id <> r.job_id`, t.firm, of)
}
