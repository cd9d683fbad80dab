package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/subjectdata"
)

// CrewsOf is subjectdata.Tx.
func (t *Tx) CrewsOf(ctx context.Context, member id.Member) ([]subjectdata.Crew, error) {
	return many(ctx, t, func(row pgx.CollectableRow) (c subjectdata.Crew, err error) {
		var crew id.Crew
		err = row.Scan(&crew, &c.Name, &c.Trade, &c.Ended)
		c.ID = crew.String()
		return c, err
	}, "select id, name, trade, ended_at from crew where firm_id = $1 and member_id = $2 order by saved_at, id", t.firm,
		member)
}

// ofMember is the condition that an absence is of a member's crew, or was said by the member.
const ofMember = "(said_by = $2 or crew_id in (select id from crew where firm_id = $1 and member_id = $2))"

// AbsencesOf is subjectdata.Tx.
func (t *Tx) AbsencesOf(ctx context.Context, member id.Member) ([]subjectdata.Absence, error) {
	return many(ctx, t, func(row pgx.CollectableRow) (a subjectdata.Absence, err error) {
		var from, to time.Time
		err = row.Scan(&from, &to, &a.Why, &a.Said)
		a.From, a.To, a.Said = from.Format(time.DateOnly), to.Format(time.DateOnly), a.Said.UTC()
		return a, err
	}, "select from_day, to_day, why, said_at from away where firm_id = $1 and "+ofMember+" order by from_day, id",
		t.firm, member)
}

// LeaveCrewOut is subjectdata.Tx.
func (t *Tx) LeaveCrewOut(ctx context.Context, member id.Member, as string) error {
	if err := t.run(ctx, "update away set why = '' where firm_id = $1 and why <> '' and "+ofMember, t.firm,
		member); err != nil {
		return err
	}
	return t.run(ctx, "update crew set name = $3 where firm_id = $1 and member_id = $2 and name <> $3", t.firm, member,
		as)
}

// PromisesIn is deed.Tx.
func (t *Tx) PromisesIn(ctx context.Context, of id.Room) (n int, err error) {
	err = t.tx.QueryRow(ctx, "select count(*) from promise where firm_id = $1 and room_id = $2", t.firm, of).Scan(&n)
	return n, err
}
