package firm

import (
	"context"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Tx is what this package needs of a transaction. Records of other firms are
// not found. Faults: NotFound, Conflict.
type Tx interface {
	TeamTx
	SessionTx
	KeyTx
	IdentityTx
	InvitationTx
	PasskeyTx
	PeopleTx
	InsertFirm(ctx context.Context, f Firm) error
	Firm(ctx context.Context) (Firm, error)
	// SaveZone stores the firm's time zone. Faults: BadInput (the database does not
	// know it).
	SaveZone(ctx context.Context, z words.Zone) error

	InsertMember(ctx context.Context, m Member) error
	Member(ctx context.Context, member id.Member) (Member, error)
	Members(ctx context.Context) ([]Member, error)
	// EndMember records that a member left.
	EndMember(ctx context.Context, member id.Member, at time.Time) error

	InsertOneTimeLink(ctx context.Context, hash Hash, member id.Member, made, expires time.Time) error
	// WaitingLinks returns how many unused links a member has that have not expired.
	WaitingLinks(ctx context.Context, member id.Member, at time.Time) (int, error)
	// OneTimeLink returns whose an unused link is that has not expired.
	OneTimeLink(ctx context.Context, hash Hash, at time.Time) (id.Member, error)
	// UseOneTimeLink marks an unused link that has not expired as used, and
	// returns whose it is.
	UseOneTimeLink(ctx context.Context, hash Hash, at time.Time) (id.Member, error)
	BuildUps(ctx context.Context) ([]BuildUp, error)
	// SaveBuildUp inserts a build-up, or replaces its layers.
	SaveBuildUp(ctx context.Context, b BuildUp, at time.Time) error
}
