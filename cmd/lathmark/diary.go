package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/proof"
	"lathmark/domain/words"
	"lathmark/persistence"
)

var diaryUsage = `Usage: lathmark diary check [OPTIONS] [FIRM...]

Reads the diary of every job and all that is recorded in its rooms, and compares them.
` + lines(proof.Shows, 90) + `

For each job it prints how many entries the diary has, and a short mark of the last one.
Keep the marks where nobody who can write to the database can: on paper, or in a file.

  -marks FILE
    	compare with the marks in FILE: the entry at each number must still have its mark
  -write-marks FILE
    	if all is intact, write today's marks to FILE, replacing what is there: in each line
    	a mark, the number of entries and the job's name

Without the ids of firms it takes every firm of the database. Only a
PostgreSQL administrator sees them all: give that role's address in LATHMARK_DATABASE, as for a backup.

Exit status: 0 all intact, 1 something was changed or could not be read, 2 the command line
was not understood.

`

var diarySettings = []string{"LATHMARK_DATABASE"}

// diaryOptions is what the command line of a check says.
type diaryOptions struct {
	marks, write string
	firms        []id.Firm
}

// runDiary checks the diaries of some firms, or of all, and their rooms.
func runDiary(ctx context.Context, s streams, args []string) error {
	o, err := readDiary(args)
	if err != nil {
		return err
	}
	c, err := readConfig(s.env)
	if err != nil {
		return err
	}
	if c.Database == "" {
		return errors.New("LATHMARK_DATABASE is not set: set it to the database to check")
	}
	kept, err := readMarks(o.marks)
	if err != nil {
		return err
	}
	if len(o.firms) == 0 {
		if o.firms, err = allFirms(ctx, c.Database); err != nil {
			return err
		}
	}
	db, err := persistence.Open(ctx, c.Database)
	if err != nil {
		return err
	}
	defer db.Close()
	all := &checking{streams: s, proof: persistence.NewServices(db, nil).Proof, kept: newKeptMarks(kept)}
	if err := all.run(ctx, o.firms); err != nil || o.write == "" {
		return err
	}
	return writeMarks(o.write, all.marks)
}

// readDiary reads the command line.
func readDiary(args []string) (o diaryOptions, err error) {
	switch {
	case len(args) == 0:
		return o, usageError("")
	case args[0] != "check":
		return o, usageError(fmt.Sprintf("unknown command %q", args[0]))
	}
	flags := flag.NewFlagSet("diary check", flag.ContinueOnError)
	flags.StringVar(&o.marks, "marks", "", "")
	flags.StringVar(&o.write, "write-marks", "", "")
	var misread usageError
	if err := parse(flags, args[1:]); errors.As(err, &misread) && misread != "" || errors.Is(err, flag.ErrHelp) {
		return o, err
	}
	for _, text := range flags.Args() {
		of, err := id.Parse[id.Firm](text)
		if err != nil {
			return o, usageError(fmt.Sprintf("%q is not the id of a firm", text))
		}
		o.firms = append(o.firms, of)
	}
	return o, nil
}

// lines breaks a sentence into lines of at most so many characters.
func lines(sentence string, most int) string {
	var out strings.Builder
	n := 0
	for _, word := range strings.Fields(sentence) {
		switch {
		case n == 0:
		case n+1+len(word) > most:
			out.WriteByte('\n')
			n = 0
		default:
			out.WriteByte(' ')
			n++
		}
		out.WriteString(word)
		n += len(word)
	}
	return out.String()
}

// allFirms returns every firm that the role of url may see without naming one.
func allFirms(ctx context.Context, url string) ([]id.Firm, error) {
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return nil, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	rows, _ := conn.Query(ctx, "select firm_id from firm order by firm_id")
	all, err := pgx.CollectRows(rows, pgx.RowTo[id.Firm])
	if err == nil && len(all) == 0 {
		err = fmt.Errorf("%s sees no firm: give a firm's id, or connect as an administrator", conn.Config().User)
	}
	return all, err
}

// checking is a check of some firms.
type checking struct {
	streams
	proof *proof.Service
	kept  *keptMarks
	marks []diary.Kept
	bar   bar
	// What was read, and how many jobs do not hold.
	entries                       int64
	signOffs, rooms, jobs, broken int
}

// run prints what every job comes to, job by job and room by room, and is an error where
// something does not hold.
func (c *checking) run(ctx context.Context, firms []id.Firm) error {
	each := make([][]id.Job, len(firms))
	for i, of := range firms {
		jobs, entries, err := c.proof.Jobs(ctx, of)
		if err != nil {
			return err
		}
		each[i] = jobs
		c.bar.of += entries
	}
	c.bar.start(c.err)
	for i, of := range firms {
		for _, j := range each[i] {
			r, err := c.proof.Check(ctx, of, j, func(e diary.Entry) {
				c.bar.step()
				c.kept.see(e)
			})
			if err != nil {
				c.bar.end()
				return err
			}
			c.take(r)
		}
	}
	c.bar.end()
	lost := c.kept.lost()
	for _, says := range lost {
		fmt.Fprintln(c.out, says)
	}
	fmt.Fprintf(c.out, "Read: %s, diary entries %d, sign-offs %d, rooms %d.\n", words.Count(c.jobs, "job"), c.entries,
		c.signOffs, c.rooms)
	var bad []string
	if c.broken > 0 {
		bad = append(bad, fmt.Sprintf("of %s %d not as written and signed", words.Count(c.jobs, "job"), c.broken))
	}
	if len(lost) > 0 {
		bad = append(bad, fmt.Sprintf("of %s %d not found", words.Count(len(c.kept.all), "mark"), len(lost)))
	}
	if len(bad) > 0 {
		return errors.New(strings.Join(bad, ", "))
	}
	return nil
}

// take prints what one job comes to.
func (c *checking) take(r proof.Report) {
	c.bar.clear()
	c.entries, c.signOffs, c.rooms, c.jobs = c.entries+r.Entries, c.signOffs+r.SignOffs, c.rooms+r.Rooms, c.jobs+1
	c.kept.name(r)
	if len(r.Findings) == 0 {
		fmt.Fprintf(c.out, "intact  %s: %d entries, mark %s\n", r.Name, r.Entries, r.Mark)
		c.marks = append(c.marks, diary.Kept{Mark: r.Mark, Entries: r.Entries, Job: r.Name})
		return
	}
	c.broken++
	fmt.Fprintf(c.out, "changed  %s: %d entries\n", r.Name, r.Entries)
	for _, f := range r.Findings {
		where := f.Room
		if where == "" {
			where = "the diary"
		}
		fmt.Fprintf(c.out, "  %s: %s.\n", where, f.Says)
	}
}
