package persistence

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// InsertInvitation is firm.Tx.
func (t *Tx) InsertInvitation(ctx context.Context, hash firm.Hash, i firm.Invitation) error {
	if err := t.run(ctx, "delete from invitation where firm_id = $1 and used_at is null and expires_at <= $2",
		t.firm, i.CreatedAt); err != nil {
		return err
	}
	if err := t.insert(ctx, insertInto("invitation",
		"firm_id, id, hash, made_by, role, trade, every_job, printed, created_at, expires_at"),
		t.firm, i.ID, hash[:], i.By, i.Role, null(i.Trade), i.EveryJob, i.Printed, i.CreatedAt, i.EndsAt); err != nil {
		return err
	}
	for _, job := range i.Jobs {
		if err := t.hit(ctx, "job", `insert into invitation_job (firm_id, invitation_id, job_id)
			select firm_id, $2, id from job where firm_id = $1 and id = $3`, t.firm, i.ID, job); err != nil {
			return err
		}
	}
	return nil
}

// canBeUsed is the condition on an invitation i of a firm at the time $2.
const canBeUsed = " from invitation i where i.firm_id = $1 and i.used_at is null and i.expires_at > $2"

const invitationColumns = `i.id, i.made_by, i.role, i.trade, i.every_job, i.printed, i.created_at, i.expires_at,
	array(select j.job_id from invitation_job j where j.firm_id = i.firm_id and j.invitation_id = i.id order by 1),
	array(select o.name from invitation_job j join job o on o.firm_id = j.firm_id and o.id = j.job_id
		where j.firm_id = i.firm_id and j.invitation_id = i.id order by 1),
	(select m.name from member m where m.firm_id = i.firm_id and m.id = i.made_by)`

var scanInvitation = fields(func(i *firm.Invitation) []any {
	return []any{&i.ID, &i.By, &i.Role, opt(&i.Trade), &i.EveryJob, &i.Printed, &i.CreatedAt, &i.EndsAt, &i.Jobs,
		&i.JobNames, &i.ByName}
})

// Invitation is firm.Tx.
func (t *Tx) Invitation(ctx context.Context, hash firm.Hash, at time.Time) (firm.Invitation, error) {
	return one(ctx, t, "code", scanInvitation, "select "+invitationColumns+canBeUsed+" and i.hash = $3", t.firm, at,
		hash[:])
}

// UseInvitation is firm.Tx.
func (t *Tx) UseInvitation(ctx context.Context, hash firm.Hash, at time.Time) (firm.Invitation, error) {
	return one(ctx, t, "code", scanInvitation,
		"update invitation i set used_at = $2 where i.firm_id = $1 and i.used_at is null and "+
			"i.expires_at > $2 and i.hash = $3 returning "+
			invitationColumns, t.firm, at, hash[:])
}

// Invitations is firm.Tx.
func (t *Tx) Invitations(ctx context.Context, at time.Time) ([]firm.Invitation, error) {
	return many(ctx, t, scanInvitation, "select "+invitationColumns+canBeUsed+" order by i.created_at desc, i.id desc",
		t.firm, at)
}

// DeleteInvitation is firm.Tx.
func (t *Tx) DeleteInvitation(ctx context.Context, invitation id.Invitation) error {
	return t.hit(ctx, "code", "delete from invitation where firm_id = $1 and id = $2 and used_at is null", t.firm,
		invitation)
}
