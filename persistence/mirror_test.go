package persistence_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// The words that the database's checks allow are those of the domain.
func TestTheChecksKnowTheDomainsWords(t *testing.T) {
	s := dbtest.New(t)
	conn := connect(t, s, localpg.Superuser)
	var stages, states, outcomes, trades, roles, answers, choices, passkeys []string
	for _, x := range words.Stages {
		stages = append(stages, x.Code())
	}
	for x := words.Waiting; x <= words.SignedOff; x++ {
		states = append(states, x.Code())
	}
	for _, x := range words.Outcomes {
		outcomes = append(outcomes, string(x))
	}
	for _, x := range words.Trades {
		if x != words.Foreman && x != words.Client {
			trades = append(trades, string(x))
		}
	}
	for _, x := range firm.Roles {
		roles = append(roles, string(x))
	}
	for _, x := range deed.Words {
		answers = append(answers, string(x))
	}
	for _, x := range deed.Choices {
		choices = append(choices, string(x))
	}
	for _, x := range firm.PasskeysOf {
		passkeys = append(passkeys, string(x))
	}
	for column, want := range map[string][]string{
		"act.answer": answers, "act.choice": choices,
		"layer.stage": stages, "measurement.stage": stages, "as_built.stage": stages, "finished.stage": stages,
		"photo.stage": stages, "build_up_layer.stage": stages,
		"gate.state": states, "opening.outcome": outcomes, "member.trade": trades, "position.trade": trades,
		"snag.trade": trades, "member.role": roles, "firm.need_passkey": passkeys,
		"datum.kind":       {string(words.Face), string(words.Line), string(words.Point)},
		"measurement.kind": {string(words.Offset), string(words.Span), string(words.Distance), string(words.Thickness)},
	} {
		table, name, _ := strings.Cut(column, ".")
		defs := texts(t, conn, fmt.Sprintf(
			`select pg_get_constraintdef(oid) from pg_constraint where contype = 'c' and conrelid = '"%s"'::regclass
			and conkey = array[(select attnum from pg_attribute where attrelid = conrelid and attname = '%s')]`, table, name))
		if len(defs) != 1 {
			t.Errorf("%s has %d checks of its own: %v", column, len(defs), defs)
			continue
		}
		var got []string
		for _, m := range regexp.MustCompile(`'([a-z_-]+)'`).FindAllStringSubmatch(defs[0], -1) {
			got = append(got, m[1])
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("%s may be %v, the domain has %v", column, got, want)
		}
	}
}

// The state machine in the database has the moves of domain/gate and no other:
// those that people make, and the two that follow from them.
func TestTheDatabaseMovesGatesLikeTheDomain(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	conn := connect(t, s, localpg.Superuser)
	columns := func(state words.State) string {
		switch state {
		case words.Offered:
			return "state = 'offered', offered_at = now(), sign_off_id = null"
		case words.SignedOff:
			return "state = 'signed_off', offered_at = now(), sign_off_id = '018f0000-0000-7000-8000-0000000000aa'"
		}
		return fmt.Sprintf("state = '%s', offered_at = null, sign_off_id = null", state.Code())
	}
	for from := words.Waiting; from <= words.SignedOff; from++ {
		for to := words.Waiting; to <= words.SignedOff; to++ {
			if from == to {
				continue
			}
			want := to == words.Waiting || from == words.Waiting && to == words.InHand ||
				slices.ContainsFunc(gate.Moves, func(m gate.Move) bool { return m.From == from && m.To == to })
			err := pgx.BeginFunc(t.Context(), conn, func(tx pgx.Tx) error {
				for _, sql := range []string{
					"set local session_replication_role = replica",
					"update gate set " + columns(from) + " where stage = 'boarding' and room_id = $1",
					"set local session_replication_role = origin",
					"update gate set " + columns(to) + " where stage = 'boarding' and room_id = $1",
				} {
					var args []any
					if strings.Contains(sql, "$1") {
						args = append(args, r.Record.ID)
					}
					if _, err := tx.Exec(t.Context(), sql, args...); err != nil {
						return err
					}
				}
				return errUndo
			})
			if moved := !strings.Contains(err.Error(), "A gate does not go from"); moved != want {
				t.Errorf("from %s to %s: the database moves it: %v; the domain: %v (%v)", from, to, moved, want, err)
			}
		}
	}
}
