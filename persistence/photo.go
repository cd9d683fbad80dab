package persistence

import (
	"context"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/subjectdata"
)

// InsertPhoto is room.Tx.
func (t *Tx) InsertPhoto(ctx context.Context, room id.Room, p room.Photo) error {
	var sum []byte
	if !p.Picture.IsZero() {
		sum = p.Picture.SHA256[:]
	}
	return t.soon.insert(ctx, insertInto("photo",
		"firm_id, id, room_id, stage, surface_id, datum_id, position_id, snag_id, says, "+
			"taken_by, taken_at, recorded_at, sha256, media_type, width, height, bytes"),
		t.firm, p.ID, room, p.Stage.Code(), null(p.Surface), null(p.Datum), null(p.Position), null(p.Snag), p.Says,
		null(p.By), p.At, p.RecordedAt, sum, null(p.Picture.Type), null(p.Picture.Width), null(p.Picture.Height),
		null(p.Picture.Bytes))
}

// StrikePhoto is room.Tx.
func (t *Tx) StrikePhoto(ctx context.Context, p room.Photo) error {
	return t.soon.hit(ctx, "photo", `update photo set struck_by = $3, struck_at = $4, struck_why = $5
		where firm_id = $1 and id = $2 and struck_at is null`, t.firm, p.ID, null(p.StruckBy), p.StruckAt, p.StruckWhy)
}

// PictureOf is room.Tx.
func (t *Tx) PictureOf(ctx context.Context, photo id.Photo) (p room.Picture, err error) {
	var sum []byte
	err = t.tx.QueryRow(ctx, `select sha256, media_type, width, height, bytes from photo
		where firm_id = $1 and id = $2 and sha256 is not null`,
		t.firm, photo).Scan(&sum, &p.Type, &p.Width, &p.Height, &p.Bytes)
	copy(p.SHA256[:], sum)
	return p, missing(err, "photo")
}

// LockPictures is room.Tx.
func (t *Tx) LockPictures(ctx context.Context, exclusive bool) error {
	lock := "pg_advisory_xact_lock_shared"
	if exclusive {
		lock = "pg_advisory_xact_lock"
	}
	return t.run(ctx, "select "+lock+"(hashtextextended('pictures ' || $1::text, 0))", t.firm.String())
}

// Pictures is room.Tx.
func (t *Tx) Pictures(ctx context.Context) ([]room.Sum, error) {
	rows, _ := t.tx.Query(ctx, "select distinct sha256 from photo where firm_id = $1 and sha256 is not null", t.firm)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (s room.Sum, err error) {
		var sum []byte
		err = row.Scan(&sum)
		copy(s[:], sum)
		return s, err
	})
}

const photoColumns = `id, stage, surface_id, datum_id, position_id, snag_id, says, taken_by, taken_at, recorded_at,
	sha256, media_type, width, height, bytes, struck_by, struck_at, struck_why`

func scanPhoto(row pgx.CollectableRow) (p room.Photo, err error) {
	var sum []byte
	err = row.Scan(&p.ID, stageInto(&p.Stage), opt(&p.Surface), opt(&p.Datum), opt(&p.Position), opt(&p.Snag), &p.Says,
		opt(&p.By),
		&p.At, &p.RecordedAt,
		&sum, opt(&p.Picture.Type), opt(&p.Picture.Width), opt(&p.Picture.Height), opt(&p.Picture.Bytes), opt(&p.StruckBy),
		opt(&p.StruckAt), &p.StruckWhy)
	copy(p.Picture.SHA256[:], sum)
	return p, err
}

// PhotosOf is subjectdata.Tx.
func (t *Tx) PhotosOf(ctx context.Context, member id.Member) ([]subjectdata.Photo, error) {
	rows, _ := t.tx.Query(ctx, `select p.id, p.room_id, p.taken_at, p.says from photo p
		join room r on r.firm_id = p.firm_id and r.id = p.room_id
		where p.firm_id = $1 and p.taken_by = $2 and `+within("r.job_id")+" order by p.taken_at, p.id", t.firm, member)
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (p subjectdata.Photo, err error) {
		var photo id.Photo
		var room id.Room
		err = row.Scan(&photo, &room, &p.Taken, &p.Says)
		p.ID, p.Room, p.Taken = photo.String(), room.String(), p.Taken.UTC()
		return p, err
	})
}
