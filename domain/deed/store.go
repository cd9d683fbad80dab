package deed

import (
	"context"
	"encoding/json"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
)

// InTx runs a function in one transaction of the person who asks.
type InTx = firm.In[Tx]

// Tx is what rooms need of a transaction. Whatever belongs to another firm is
// not found. An id that another record has is a Conflict, a version that is
// not the stored one too; a frozen record is an Obstacle. A write goes out with what
// is read next, or with the transaction's end: what is wrong with it may be the
// error of that.
type Tx interface {
	diary.Writer

	Firm(ctx context.Context) (firm.Firm, error)
	JobName(ctx context.Context, job id.Job) (string, error)
	Member(ctx context.Context, member id.Member) (firm.Member, error)
	// MemberJobs returns the jobs that a member is named on.
	MemberJobs(ctx context.Context, member id.Member) ([]id.Job, error)
	Job(ctx context.Context, job id.Job) (job.Job, error)
	// DiaryJobs returns every job of the firm, closed ones too.
	DiaryJobs(ctx context.Context) ([]id.Job, error)
	// LockRoom takes the room's lock until the transaction ends, and returns what was
	// committed before, its id, revision and zone, and the store's time. Everybody who
	// writes to a room takes it first.
	LockRoom(ctx context.Context, roomID id.Room) (room.Head, time.Time, error)
	// Record returns everything stored of a room.
	Record(ctx context.Context, roomID id.Room) (*room.Record, error)
	// Records returns everything stored of several rooms, in the order of their
	// ids, without those that are not found.
	Records(ctx context.Context, rooms []id.Room) ([]*room.Record, error)
	// Heads returns the heads of the rooms in scope, job by job, the newest job
	// first, and within a job as one walks through the house.
	Heads(ctx context.Context, scope room.Scope) ([]room.Head, error)
	// Revision returns the revision that a room will have once the transaction has
	// committed: asked after the last write to the room. Until then a record read in
	// the transaction is not to be kept under it, as it may never come to be.
	Revision(ctx context.Context, roomID id.Room) (int64, error)
	// RevisionSoon is Revision for whoever needs it once the transaction has
	// committed: it is in revision then.
	RevisionSoon(roomID id.Room, revision *int64)
	// RoomsOf returns the rooms of a job as one walks through the house.
	RoomsOf(ctx context.Context, job id.Job) ([]room.Room, error)
	// AllRooms returns every room of the firm's open jobs.
	AllRooms(ctx context.Context) ([]room.Room, error)

	InsertRoom(ctx context.Context, r room.Room) error
	// RemoveRoom takes a room out with what is drawn in it, where nothing is
	// recorded.
	RemoveRoom(ctx context.Context, roomID id.Room) error
	// ActsIn returns how many acts came from phones for a room, whatever became
	// of them.
	ActsIn(ctx context.Context, roomID id.Room) (int, error)
	// PromisesIn returns how many days were promised for a room.
	PromisesIn(ctx context.Context, roomID id.Room) (int, error)
	// RoomDiary returns the entries about a room after a number, in order.
	RoomDiary(ctx context.Context, roomID id.Room, after int64) ([]diary.Entry, error)
	UpdateRoom(ctx context.Context, r room.Room, version int64) error
	InsertSurface(ctx context.Context, roomID id.Room, s room.Surface) error
	InsertDatum(ctx context.Context, roomID id.Room, d room.Datum) error
	UpdateStaysBare(ctx context.Context, datum id.Datum, stays bool) error
	DeleteDatum(ctx context.Context, datum id.Datum) error
	// ReplaceLayers puts layers in the place of those planned on a face, or on
	// the surface itself where datum is none.
	ReplaceLayers(ctx context.Context, roomID id.Room, surface id.Surface, datum id.Datum, layers []room.Layer) error
	InsertTimber(ctx context.Context, roomID id.Room, t room.Timber) error
	DeleteTimber(ctx context.Context, timber id.Timber) error
	InsertWay(ctx context.Context, roomID id.Room, w room.Way) error
	DeleteWay(ctx context.Context, way id.Way) error
	InsertPosition(ctx context.Context, roomID id.Room, p room.Position) error
	UpdatePosition(ctx context.Context, p room.Position, version int64) error
	InsertMeasurement(ctx context.Context, roomID id.Room, m room.Measurement) error
	UpdateMeasurement(ctx context.Context, m room.Measurement, version int64) error

	InsertTailSeen(ctx context.Context, roomID id.Room, t room.TailSeen) error
	DeleteTailSeen(ctx context.Context, position id.Position) error
	InsertPhoto(ctx context.Context, roomID id.Room, p room.Photo) error
	// StrikePhoto strikes a photo out that stands.
	StrikePhoto(ctx context.Context, p room.Photo) error
	// PictureOf returns the picture of a photo; a note has none.
	PictureOf(ctx context.Context, photo id.Photo) (room.Picture, error)
	// LockPictures waits until no sweep takes pictures away and keeps it so
	// until the transaction ends; exclusive: until nobody else holds the lock.
	LockPictures(ctx context.Context, exclusive bool) error
	// Pictures returns the sums of all pictures that photos of the firm have.
	Pictures(ctx context.Context) ([]room.Sum, error)
	SaveAsBuilt(ctx context.Context, roomID id.Room, b room.AsBuilt) error
	SaveFinished(ctx context.Context, roomID id.Room, f room.Finished) error
	InsertOpening(ctx context.Context, roomID id.Room, o room.Opening) error
	UpdateOpening(ctx context.Context, o room.Opening) error
	SavePatch(ctx context.Context, roomID id.Room, p room.Patch) error
	InsertSnag(ctx context.Context, roomID id.Room, s room.Snag) error
	SaveSnag(ctx context.Context, roomID id.Room, s room.Snag) error

	UpdateGate(ctx context.Context, roomID id.Room, g room.Gate) error
	// InsertSignOff writes a sign-off down, and returns what the signer is called:
	// until the transaction ends nobody changes that.
	InsertSignOff(ctx context.Context, roomID id.Room, job id.Job, s room.SignOff) (signer string, err error)
	SignOffs(ctx context.Context, roomID id.Room) ([]room.SignOff, error)

	// Act returns what is kept of an act. Faults: NotFound.
	Act(ctx context.Context, act id.Act) (StoredAct, error)
	// Acts returns what is kept of those of the acts that came before.
	Acts(ctx context.Context, acts []id.Act) ([]StoredAct, error)
	// SaveAct keeps an act with its answer. One that was Refused may be kept
	// once more, with another answer; every other stays as it is.
	SaveAct(ctx context.Context, s StoredAct) error
	// ChooseAct keeps which of two records was chosen. Faults: Conflict (it was
	// chosen already).
	ChooseAct(ctx context.Context, act id.Act, c Choice, by id.Member, at time.Time) error
	// OpenActs returns what waits for a choice in open jobs: of one member, or of everybody
	// where it is none; in one room, or in all where it is none.
	OpenActs(ctx context.Context, of id.Member, in id.Room) ([]StoredAct, error)

	// ClientLinkJob returns the job of a client's link that works.
	ClientLinkJob(ctx context.Context, hash firm.Hash, at time.Time) (id.Job, error)
}

// StoredAct is an act as it is kept.
type StoredAct struct {
	ID     id.Act
	Room   id.Room
	Member id.Member
	Kind   Kind
	Made   time.Time // by the phone's clock
	Done   time.Time // that, as far as it can be: see Writing.AsOf
	Came   time.Time
	Copy   int64
	Deed   json.RawMessage
	Answer Answer
	// Clash is what there is to choose between; nil unless the answer is Both.
	Clash json.RawMessage
	// Choice, ChosenBy and ChosenAt are empty while nobody has chosen.
	Choice   Choice
	ChosenBy id.Member
	ChosenAt time.Time
	// Job and RoomName are read with it and not kept.
	Job      id.Job
	RoomName string
}
