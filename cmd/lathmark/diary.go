package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/persistence"
)

const diaryUsage = `Usage: lathmark diary check [FIRM...]

Proves the diary of every job: that each entry says what it said when it was written, that
none is missing between the first and the last, and that every sign-off holds what was
signed. It compares every signed room with the room sheet that was signed, too. It cannot
see entries cut off at the end: keep the marks that it prints, and look for them in the
next check.

Without the ids of firms it takes every firm of the database. Only an administrator of the
PostgreSQL sees them all: give that role's address in LATHMARK_DATABASE, as for a backup.

Exit status: 0 every diary holds, 1 one does not, or could not be read.

`

var diarySettings = []string{"LATHMARK_DATABASE"}

// runDiary proves the diaries of some firms, or of all.
func runDiary(ctx context.Context, s streams, args []string) error {
	if len(args) == 0 || args[0] != "check" {
		return usageError("diary knows check alone")
	}
	firms, err := firmsOf(args[1:])
	if err != nil {
		return err
	}
	c, err := readConfig(s.env)
	if err != nil {
		return err
	}
	if c.Database == "" {
		return errors.New("LATHMARK_DATABASE is not set: which database is to be checked?")
	}
	if len(firms) == 0 {
		if firms, err = allFirms(ctx, c.Database); err != nil {
			return err
		}
	}
	return checkDiaries(ctx, s, c.Database, firms)
}

func firmsOf(args []string) (out []id.Firm, err error) {
	for _, text := range args {
		of, err := id.Parse[id.Firm](text)
		if err != nil {
			return nil, usageError(fmt.Sprintf("%q is no firm's id", text))
		}
		out = append(out, of)
	}
	return out, nil
}

// allFirms returns every firm that the role of url may see without naming one.
func allFirms(ctx context.Context, url string) ([]id.Firm, error) {
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return nil, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	rows, _ := conn.Query(ctx, "select firm_id from firm order by firm_id")
	all, err := pgx.CollectRows(rows, pgx.RowTo[[16]byte])
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("%s sees no firm: name one by its id, or come as an administrator", conn.Config().User)
	}
	var out []id.Firm
	for _, one := range all {
		out = append(out, id.Firm(one))
	}
	return out, nil
}

// checkDiaries prints a line for every job that holds, and ends with an error at the
// first entry that does not.
func checkDiaries(ctx context.Context, s streams, url string, firms []id.Firm) error {
	db, err := persistence.Open(ctx, url)
	if err != nil {
		return err
	}
	defer db.Close()
	all := persistence.NewServices(db, time.Now)
	for _, of := range firms {
		proofs, err := all.Diary.Prove(ctx, of)
		if err != nil {
			return err
		}
		for _, p := range proofs {
			name := p.Job.String()
			if j, err := all.Job.Job(ctx, firm.Person{Firm: of, Role: firm.Owner}, p.Job); err == nil {
				name = j.Name
			}
			if len(p.Breaks) > 0 {
				return fmt.Errorf("the diary of %s does not hold: %s", name, sayBreaks(p.Breaks))
			}
			fmt.Fprintf(s.out, "holds  %s: %d entries, the last one's mark %s\n", name, p.Entries, p.Last)
		}
		if len(proofs) == 0 {
			fmt.Fprintf(s.out, "no job  firm %s\n", of)
		}
		altered, err := all.Desk.ProveSigned(ctx, of)
		if err != nil {
			return err
		}
		if len(altered) > 0 {
			return fmt.Errorf("%s is not as it was signed: %s", altered[0].Name, altered[0].Says)
		}
	}
	return nil
}

// sayBreaks names the first break and counts the others.
func sayBreaks(breaks []diary.Break) string {
	first := breaks[0]
	for _, b := range breaks {
		if b.Seq > 0 && b.Seq < first.Seq {
			first = b
		}
	}
	if n := len(breaks) - 1; n > 0 {
		return fmt.Sprintf("%s (and %d more)", strings.TrimSuffix(first.Says, "."), n)
	}
	return first.Says
}
