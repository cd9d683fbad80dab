package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/proof"
)

// readMarks reads a file of marks that an earlier check wrote; none where there is no
// file.
func readMarks(path string) ([]diary.Kept, error) {
	if path == "" {
		return nil, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	kept, err := diary.ReadMarks(f)
	if err != nil {
		return nil, fmt.Errorf("the marks in %s cannot be read:\n%w", path, err)
	}
	return kept, nil
}

// writeMarks writes a file of marks, whole or not at all.
func writeMarks(path string, marks []diary.Kept) error {
	var text strings.Builder
	text.WriteString("# Marks of diaries: each is that of the entry at the number, to be looked for in the next check.\n")
	for _, k := range marks {
		fmt.Fprintln(&text, k)
	}
	next, err := os.CreateTemp(filepath.Dir(path), ".marks")
	if err != nil {
		return err
	}
	defer os.Remove(next.Name()) // gone already where all went well
	if _, err = next.WriteString(text.String()); err == nil {
		err = next.Sync()
	}
	if closing := next.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return err
	}
	return os.Rename(next.Name(), path)
}

// keptMarks are marks being looked for. A job is known by its marks: it may have got
// another name since.
type keptMarks struct {
	all  []diary.Kept
	at   map[int64][]int // by number of entries
	seen map[int]bool
	jobs map[string][]proof.Report
	job  map[int]map[id.Job]diary.Mark
}

func newKeptMarks(all []diary.Kept) *keptMarks {
	k := &keptMarks{all: all, at: map[int64][]int{}, seen: map[int]bool{}, jobs: map[string][]proof.Report{},
		job: map[int]map[id.Job]diary.Mark{}}
	for i, one := range all {
		k.at[one.Entries] = append(k.at[one.Entries], i)
		k.job[i] = map[id.Job]diary.Mark{}
	}
	return k
}

// see looks at an entry.
func (k *keptMarks) see(e diary.Entry) {
	for _, i := range k.at[e.Seq] {
		mark := e.Hash.Mark()
		k.seen[i] = k.seen[i] || mark == k.all[i].Mark
		k.job[i][e.Job] = mark
	}
}

// name notes what a job is called that was read to its end.
func (k *keptMarks) name(r proof.Report) { k.jobs[r.Name] = append(k.jobs[r.Name], r) }

// lost says of each mark that no entry has what became of its job.
func (k *keptMarks) lost() (out []string) {
	for i, one := range k.all {
		if k.seen[i] {
			continue
		}
		now := k.jobs[one.Job]
		if len(now) == 0 {
			out = append(out, fmt.Sprintf("gone  %s: no job has that name, and none has an entry %d with the mark %s",
				one.Job, one.Entries, one.Mark))
		}
		for _, r := range now {
			if mark, there := k.job[i][r.Job]; there {
				out = append(out, fmt.Sprintf("changed  %s: entry %d had the mark %s, and has %s", one.Job, one.Entries,
					one.Mark, mark))
			} else {
				out = append(out, fmt.Sprintf("changed  %s: its diary had %d entries, the last with the mark %s, and "+
					"has %d", one.Job, one.Entries, one.Mark, r.Entries))
			}
		}
	}
	return out
}
