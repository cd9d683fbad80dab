package persistence

import (
	"context"
	"errors"
	"slices"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
	"lathmark/domain/id"
)

const entryColumns = "firm_id, job_id, seq, at, member_id, who, act, room_id, coalesce(stage, ''), says, " +
	"detail::text, prev, hash"

func scanEntry(row pgx.CollectableRow) (e diary.Entry, err error) {
	var detail string
	var prev, hash []byte
	err = row.Scan(&e.Firm, &e.Job, &e.Seq, &e.At, opt(&e.Member), &e.Who, &e.Act, opt(&e.Room), &e.Stage, &e.Says,
		&detail, &prev, &hash)
	e.Detail = []byte(detail)
	copy(e.Prev[:], prev)
	copy(e.Hash[:], hash)
	return e, err
}

// LastEntry is diary.Writer. Key share locks, as foreign keys take, do not
// wait for it. Lock and entry are two statements that go out together: one that did
// both would look for the entry before it waits for the lock.
func (t *Tx) LastEntry(ctx context.Context, job id.Job) (diary.Entry, error) {
	if err := t.soon.hit(ctx, "job", "select from job where firm_id = $1 and id = $2 and "+within("id")+
		" for no key update", t.firm, job); err != nil {
		return diary.Entry{}, err
	}
	rows, _ := t.tx.Query(ctx, "select "+entryColumns+
		" from diary where firm_id = $1 and job_id = $2 order by seq desc limit 1", t.firm, job)
	e, err := pgx.CollectExactlyOneRow(rows, readable(scanEntry))
	if errors.Is(err, pgx.ErrNoRows) {
		return diary.Entry{}, nil
	}
	return e, err
}

// InsertEntry is diary.Writer.
func (t *Tx) InsertEntry(ctx context.Context, e diary.Entry) error {
	e.Firm = t.firm
	t.wrote = append(t.wrote, e)
	return t.soon.run(ctx, `insert into diary (firm_id, job_id, seq, at, member_id, who, act, room_id, stage, says,
		detail, prev, hash)
		values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11::text::json, $12, $13)`,
		t.firm, e.Job, e.Seq, e.At, null(e.Member), e.Who, e.Act, null(e.Room), null(e.Stage), e.Says, string(e.Detail),
		e.Prev[:], e.Hash[:])
}

// Diary is diary.Tx.
func (t *Tx) Diary(ctx context.Context, job id.Job, after int64, limit int) ([]diary.Entry, error) {
	return many(ctx, t, scanEntry, "select "+entryColumns+
		" from diary where firm_id = $1 and job_id = $2 and seq > $3 and "+within("job_id")+" order by seq limit $4",
		t.firm, job, after, limit)
}

// DiaryBefore is diary.Tx. Steps down the index from where it begins.
func (t *Tx) DiaryBefore(ctx context.Context, job id.Job, before int64, limit int) ([]diary.Entry, error) {
	rows, _ := t.tx.Query(ctx, "select "+entryColumns+
		" from diary where firm_id = $1 and job_id = $2 and seq < $3 and "+within("job_id")+" order by seq desc limit $4",
		t.firm, job, before, limit)
	out, err := pgx.CollectRows(rows, readable(scanEntry))
	slices.Reverse(out)
	return out, err
}

// DiaryPage is diary.Tx. It steps down, or up, the index from where it begins.
func (t *Tx) DiaryPage(ctx context.Context, job id.Job, of diary.Filter, limit int) ([]diary.Entry, error) {
	order := "desc"
	if of.After > 0 && of.Before == 0 {
		order = "asc"
	}
	rows, _ := t.tx.Query(ctx, "select "+entryColumns+` from diary where firm_id = $1 and job_id = $2
		and ($3 = 0 or seq < $3) and seq > $4 and ($5::uuid is null or room_id = $5)
		and ($6::uuid is null or member_id = $6) and ($7::text[] is null or act = any($7))
		and ($8::timestamptz is null or at >= $8) and ($9::timestamptz is null or at < $9)
		and `+within("job_id")+" order by seq "+order+" limit $10",
		t.firm, job, of.Before, of.After, null(of.Room), null(of.Member), of.Acts, null(of.From), null(of.Until), limit)
	out, err := pgx.CollectRows(rows, readable(scanEntry))
	if order == "asc" {
		slices.Reverse(out)
	}
	return out, err
}

// RoomPage is proof.Tx.
func (t *Tx) RoomPage(ctx context.Context, job id.Job, of id.Room, after int64, limit int) ([]diary.Entry, error) {
	return many(ctx, t, scanEntry, "select "+entryColumns+" from diary where firm_id = $1 and room_id = $2 and seq > $3 "+
		"and job_id = $4 and "+within("job_id")+" order by seq limit $5", t.firm, of, after, job, limit)
}

// DiaryJobs is diary.Tx.
func (t *Tx) DiaryJobs(ctx context.Context) ([]id.Job, error) {
	return many(ctx, t, pgx.RowTo[id.Job], "select id from job where firm_id = $1 and "+within("id")+" order by id",
		t.firm)
}

// lastSeq is the number of the last entry of the job j: one step down an index,
// however long its diary is.
const lastSeq = `coalesce((select d.seq from diary d where d.firm_id = j.firm_id and d.job_id = j.id
	order by d.seq desc limit 1), 0)`

var lastSeqs = "select j.id, " + lastSeq + " from job j where j.firm_id = $1 and j.closed_at is null and " +
	within("j.id")

// LastSeqs is diary.Tx.
func (t *Tx) LastSeqs(ctx context.Context) (map[id.Job]int64, error) {
	rows, _ := t.tx.Query(ctx, lastSeqs, t.firm)
	out := map[id.Job]int64{}
	var job id.Job
	var seq int64
	_, err := pgx.ForEachRow(rows, []any{&job, &seq}, func() error {
		out[job] = seq
		return nil
	})
	return out, err
}

// EntriesOf is subjectdata.Tx.
func (t *Tx) EntriesOf(ctx context.Context, member id.Member) ([]diary.Entry, error) {
	return many(ctx, t, scanEntry, "select "+entryColumns+
		" from diary where firm_id = $1 and member_id = $2 and "+within("job_id")+" order by job_id, seq",
		t.firm, member)
}

// LeaveNameOut is subjectdata.Tx.
func (t *Tx) LeaveNameOut(ctx context.Context, e diary.Entry) error {
	return t.soon.hit(ctx, "entry", "select where leave_name_out($1, $2, $3, $4)", t.firm, e.Job, e.Seq, e.Who)
}
