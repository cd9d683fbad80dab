package visit

import (
	"context"
	"encoding/json"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// InTx runs do in one transaction of the person who asks; see firm.InTx.
type InTx func(ctx context.Context, by firm.Person, do func(Tx) error) error

// Tx is what this package needs of a transaction. Whatever belongs to another
// firm is not found.
type Tx interface {
	deed.Tx

	// Act returns what is kept of an act. Faults: NotFound.
	Act(ctx context.Context, act id.Act) (Stored, error)
	// Acts returns what is kept of those of the acts that came before.
	Acts(ctx context.Context, acts []id.Act) ([]Stored, error)
	// SaveAct keeps an act with its answer. One that was Refused may be kept
	// once more, with another answer; every other stays as it is.
	SaveAct(ctx context.Context, s Stored) error
	// ChooseAct keeps which of two records was chosen. Faults: Conflict (it was
	// chosen already).
	ChooseAct(ctx context.Context, act id.Act, c Choice, by id.Member, at time.Time) error
	// OpenActs returns what waits for a choice in open jobs: of one member, or of
	// everybody where it is none; in one room, or in all where it is none.
	OpenActs(ctx context.Context, of id.Member, in id.Room) ([]Stored, error)
}

// Stored is an act as it is kept.
type Stored struct {
	ID     id.Act
	Room   id.Room
	Member id.Member
	Kind   Kind
	Made   time.Time // by the phone's clock
	Done   time.Time // that, as far as it can be: see room.Writing.AsOf
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
