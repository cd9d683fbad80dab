package job

import (
	"context"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Link is a client's private way to see how a job goes. Its secret is kept
// nowhere.
type Link struct{ MadeAt, EndsAt time.Time }

// LinkLasts is how long a client's link works from when it is made or renewed: a
// season, after which somebody has to want it still.
const LinkLasts = 90 * 24 * time.Hour

// LinkTx is what clients' links need of a transaction.
type LinkTx interface {
	InsertClientLink(ctx context.Context, hash firm.Hash, job id.Job, l Link) error
	// ClientLink returns the link of a job that works. Faults: NotFound.
	ClientLink(ctx context.Context, job id.Job, at time.Time) (Link, error)
	// RenewClientLink lets the link of a job that works end at ends. Faults: NotFound.
	RenewClientLink(ctx context.Context, job id.Job, at, ends time.Time) error
	// EndClientLinks ends every link of a job that works and tells how many.
	EndClientLinks(ctx context.Context, job id.Job, at time.Time) (int, error)
	// ClientLinkJob returns the job of a link that works. Faults: NotFound.
	ClientLinkJob(ctx context.Context, hash firm.Hash, at time.Time) (id.Job, error)
}

// ClientLink makes a private link to a job's progress, which works for LinkLasts,
// and ends those made before. The owner and the foreman may. Faults: Refused,
// NotFound, Obstacle (the job is closed).
func (s *Service) ClientLink(ctx context.Context, by firm.Person, job id.Job) (token string, err error) {
	token, hash := firm.NewToken(by.Firm)
	return token, s.end(ctx, by, func(tx Tx, now time.Time) error {
		if _, err := openJob(ctx, tx, job); err != nil {
			return err
		}
		if _, err := tx.EndClientLinks(ctx, job, now); err != nil {
			return err
		}
		if err := tx.InsertClientLink(ctx, hash, job, Link{now, now.Add(LinkLasts)}); err != nil {
			return err
		}
		return write(ctx, tx, by, job, "client_link", "The client's link was made anew.", struct{}{}, now)
	})
}

// Link returns the client's link of a job that works; the zero Link where there is
// none. The owner and the foreman may ask. Faults: Refused, NotFound for the job.
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

// RenewClientLink lets the client's link work for LinkLasts from now. The owner
// and the foreman may. Faults: Refused, NotFound, also where no link works,
// Obstacle (the job is closed).
func (s *Service) RenewClientLink(ctx context.Context, by firm.Person, job id.Job) error {
	return s.end(ctx, by, func(tx Tx, now time.Time) error {
		if _, err := openJob(ctx, tx, job); err != nil {
			return err
		}
		if err := tx.RenewClientLink(ctx, job, now, now.Add(LinkLasts)); err != nil {
			return err
		}
		return write(ctx, tx, by, job, "renew_client_link", "The client's link was renewed.", struct{}{}, now)
	})
}

// EndClientLinks closes the client's view of a job, of a closed one too. The
// owner and the foreman may. Faults: Refused, NotFound.
func (s *Service) EndClientLinks(ctx context.Context, by firm.Person, job id.Job) error {
	return s.end(ctx, by, func(tx Tx, now time.Time) error {
		if _, err := tx.Job(ctx, job); err != nil {
			return err
		}
		n, err := tx.EndClientLinks(ctx, job, now)
		if err != nil || n == 0 {
			return err
		}
		return write(ctx, tx, by, job, "end_client_link", "The client's link was ended.", struct{}{}, now)
	})
}

// ClientJob returns the firm and the job of a client's link. Anybody may try.
// Faults: NotFound.
func (s *Service) ClientJob(ctx context.Context, link string) (of id.Firm, j Job, err error) {
	of, hash, err := firm.ReadToken(link)
	if err != nil {
		return id.Firm{}, Job{}, err
	}
	err = s.in(ctx, firm.Whole(of), func(tx Tx) error {
		job, err := tx.ClientLinkJob(ctx, hash, s.now())
		if err != nil {
			return err
		}
		j, err = tx.Job(ctx, job)
		return err
	})
	return of, j, err
}
