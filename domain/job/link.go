package job

import (
	"context"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Link is a client's private way to see how a job goes. Its secret is not
// stored.
type Link struct{ MadeAt, EndsAt time.Time }

// LinkLifetime is how long a client's link works after it is made or renewed: a
// season, after which somebody has to ask for it again.
const LinkLifetime = 90 * 24 * time.Hour

// LinkTx is what clients' links need of a transaction.
type LinkTx interface {
	InsertClientLink(ctx context.Context, hash firm.Hash, job id.Job, l Link) error
	// ClientLink returns a job's working link. Faults: NotFound.
	ClientLink(ctx context.Context, job id.Job, at time.Time) (Link, error)
	// RenewClientLink sets the end of a job's working link to ends. Faults:
	// NotFound.
	RenewClientLink(ctx context.Context, job id.Job, at, ends time.Time) error
	// EndClientLinks ends every working link of a job and returns how many
	// there were.
	EndClientLinks(ctx context.Context, job id.Job, at time.Time) (int, error)
}

// ClientLink makes a private link to a job's progress, which works for
// LinkLifetime, and ends those made before. Owners and foremen may call it.
// Faults: Refused, NotFound, Obstacle (the job is closed).
func (s *Service) ClientLink(ctx context.Context, by firm.Person, job id.Job) (token string, err error) {
	token, hash := firm.NewToken(by.Firm)
	return token, s.end(ctx, by, func(tx Tx, now time.Time) error {
		if _, err := openOnly(tx.LockJob(ctx, job)); err != nil {
			return err
		}
		if _, err := tx.EndClientLinks(ctx, job, now); err != nil {
			return err
		}
		if err := tx.InsertClientLink(ctx, hash, job, Link{now, now.Add(LinkLifetime)}); err != nil {
			return err
		}
		return write(ctx, tx, by, job, "client_link", "A new client's link was made.", struct{}{}, now)
	})
}

// Link returns a job's working client link, or the zero Link if there is none.
// Owners and foremen may call it. Faults: Refused, NotFound for the job.
func (s *Service) Link(ctx context.Context, by firm.Person, job id.Job) (l Link, err error) {
	err = s.end(ctx, by, func(tx Tx, now time.Time) error {
		if _, err := tx.Job(ctx, job); err != nil {
			return err
		}
		l, err = tx.ClientLink(ctx, job, now)
		if fault.KindOf(err) == fault.NotFound {
			return nil
		}
		return err
	})
	return l, err
}

// RenewClientLink extends the client's link to LinkLifetime from now. Owners
// and foremen may call it. Faults: Refused, NotFound, also if no link works,
// Obstacle (the job is closed).
func (s *Service) RenewClientLink(ctx context.Context, by firm.Person, job id.Job) error {
	return s.end(ctx, by, func(tx Tx, now time.Time) error {
		if _, err := openOnly(tx.LockJob(ctx, job)); err != nil {
			return err
		}
		if err := tx.RenewClientLink(ctx, job, now, now.Add(LinkLifetime)); err != nil {
			return err
		}
		return write(ctx, tx, by, job, "renew_client_link", "The client's link was renewed.", struct{}{}, now)
	})
}

// EndClientLinks closes the client's view of a job, also of a closed one.
// Owners and foremen may call it. Faults: Refused, NotFound.
func (s *Service) EndClientLinks(ctx context.Context, by firm.Person, job id.Job) error {
	return s.end(ctx, by, func(tx Tx, now time.Time) error {
		if _, err := tx.Job(ctx, job); err != nil {
			return err
		}
		n, err := tx.EndClientLinks(ctx, job, now)
		if err != nil || n == 0 {
			return err
		}
		return write(ctx, tx, by, job, "end_client_link", "The client's link was removed.", struct{}{}, now)
	})
}
