package room

import (
	"context"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// InTx runs do in one transaction of the person who asks; see firm.InTx.
type InTx func(ctx context.Context, by firm.Person, do func(Tx) error) error

// Tx is what rooms need of a transaction. Whatever belongs to another firm is
// not found. An id that another record has is a Conflict, a version that is
// not the stored one too; a frozen record is an Obstacle.
type Tx interface {
	diary.Writer

	JobName(ctx context.Context, job id.Job) (string, error)
	// LockRoom takes the room's lock until the transaction ends. Everybody who
	// writes to a room takes it first.
	LockRoom(ctx context.Context, room id.Room) error
	// Record returns everything stored of a room.
	Record(ctx context.Context, room id.Room) (*Record, error)
	// Records returns everything stored of several rooms, in the order of their
	// ids, without those that are not found.
	Records(ctx context.Context, rooms []id.Room) ([]*Record, error)
	// Heads returns the heads of the rooms in scope, job by job, the newest job
	// first, and within a job as one walks through the house.
	Heads(ctx context.Context, scope Scope) ([]Head, error)
	// Revision returns the revision that a room will have once the transaction has
	// committed: asked after the last write to the room. Until then a record read in
	// the transaction is not to be kept under it, as it may never come to be.
	Revision(ctx context.Context, room id.Room) (int64, error)
	// RoomsOf returns the rooms of a job as one walks through the house.
	RoomsOf(ctx context.Context, job id.Job) ([]Room, error)
	// AllRooms returns every room of the firm.
	AllRooms(ctx context.Context) ([]Room, error)

	InsertRoom(ctx context.Context, r Room) error
	UpdateRoom(ctx context.Context, r Room, version int64) error
	InsertSurface(ctx context.Context, room id.Room, s Surface) error
	InsertDatum(ctx context.Context, room id.Room, d Datum) error
	UpdateStaysBare(ctx context.Context, datum id.Datum, stays bool) error
	DeleteDatum(ctx context.Context, datum id.Datum) error
	// ReplaceLayers puts layers in the place of those planned on a face, or on
	// the surface itself where datum is none.
	ReplaceLayers(ctx context.Context, room id.Room, surface id.Surface, datum id.Datum, layers []Layer) error
	InsertTimber(ctx context.Context, room id.Room, t Timber) error
	DeleteTimber(ctx context.Context, timber id.Timber) error
	InsertWay(ctx context.Context, room id.Room, w Way) error
	DeleteWay(ctx context.Context, way id.Way) error
	InsertPosition(ctx context.Context, room id.Room, p Position) error
	UpdatePosition(ctx context.Context, p Position, version int64) error
	InsertMeasurement(ctx context.Context, room id.Room, m Measurement) error
	UpdateMeasurement(ctx context.Context, m Measurement, version int64) error

	InsertTailSeen(ctx context.Context, room id.Room, t TailSeen) error
	DeleteTailSeen(ctx context.Context, position id.Position) error
	InsertPhoto(ctx context.Context, room id.Room, p Photo) error
	// StrikePhoto strikes a photo out that stands.
	StrikePhoto(ctx context.Context, p Photo) error
	// PictureOf returns the picture of a photo; a note has none.
	PictureOf(ctx context.Context, photo id.Photo) (Picture, error)
	// LockPictures waits until no sweep takes pictures away and keeps it so
	// until the transaction ends; exclusive: until nobody else holds the lock
	// either.
	LockPictures(ctx context.Context, exclusive bool) error
	// Pictures returns the sums of all pictures that photos of the firm have.
	Pictures(ctx context.Context) ([]Sum, error)
	SaveAsBuilt(ctx context.Context, room id.Room, b AsBuilt) error
	SaveFinished(ctx context.Context, room id.Room, f Finished) error
	InsertOpening(ctx context.Context, room id.Room, o Opening) error
	UpdateOpening(ctx context.Context, o Opening) error
	SavePatch(ctx context.Context, room id.Room, p Patch) error
	InsertSnag(ctx context.Context, room id.Room, s Snag) error
	CloseSnag(ctx context.Context, snag id.Snag, by id.Member, at time.Time) error

	UpdateGate(ctx context.Context, room id.Room, g Gate) error
	InsertSignOff(ctx context.Context, room id.Room, job id.Job, s SignOff) error
	SignOffs(ctx context.Context, room id.Room) ([]SignOff, error)

	// ClientLinkJob returns the job of a client's link that works.
	ClientLinkJob(ctx context.Context, hash firm.Hash, at time.Time) (id.Job, error)
}

// changed returns the gates that a move left in another state.
func changed(before [5]Gate, after gate.Gates) []Gate {
	var out []Gate
	for i, g := range before {
		if g.State != after[i].State {
			out = append(out, Gate{Stage: words.Stage(i), State: after[i].State})
		}
	}
	return out
}
