// Package diary is the site diary of a job: who did what when. Entries are only
// ever added, and each carries the hash of the one before it, so that removing
// or changing one shows. The name of somebody who left can be taken out, if a
// later entry says so; see Forget.
package diary

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Entry is one line of the diary.
type Entry struct {
	Firm   id.Firm   `json:"-"`
	Job    id.Job    `json:"-"`
	Seq    int64     `json:"seq" doc:"1, 2, 3 ... within the job."`
	At     time.Time `json:"at"`
	Member id.Member `json:"member,omitzero" format:"uuid"` // none: nobody of the firm, as when a job is imported
	Who    string    `json:"who" doc:"The name as it was then."`
	Act    string    `json:"act"`                         // "sign_off", "measure": codes never change
	Room   id.Room   `json:"room,omitzero" format:"uuid"` // none: about the whole job
	Stage  string    `json:"stage,omitempty"`             // code of the stage, or empty
	// Says is the entry in a sentence.
	Says string `json:"says"`
	// Detail is what the act was about, one JSON object on one line.
	Detail json.RawMessage `json:"detail"`
	Prev   Hash            `json:"prev" doc:"The hash of the entry before."`
	Hash   Hash            `json:"hash" doc:"SHA-256, in hexadecimal."`
}

// Hash is the SHA-256 of an entry's line after the hash of the one before.
type Hash [32]byte

// String returns the hash in hexadecimal.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// New returns an entry as a service writes it; Seal gives it its place. Detail
// is anything that encodes as a JSON object.
func New(by firm.Person, job id.Job, room id.Room, stage, act, says string, detail any, at time.Time) (Entry, error) {
	text, err := json.Marshal(detail)
	if err != nil {
		return Entry{}, err
	}
	return Entry{Firm: by.Firm, Job: job, At: at, Member: by.ID, Who: oneLine(by.Name), Act: act, Room: room, Stage: stage,
		Says: oneLine(says), Detail: text}, nil
}

// Seal returns e as the entry after last, which is zero for the first of a job.
func Seal(e, last Entry) Entry {
	e.Seq, e.Prev = last.Seq+1, last.Hash
	e.At = e.At.UTC().Truncate(time.Microsecond) // as it is stored
	e.Hash = e.sum()
	return e
}

// sum returns the hash over the hash before and the entry's line.
func (e *Entry) sum() Hash {
	return sha256.Sum256(append(e.Prev[:], e.line()...))
}

// line returns everything an entry says, a line to each field. The database
// computes the same in diary_line.
func (e *Entry) line() []byte {
	return []byte(strings.Join([]string{e.Firm.String(), e.Job.String(), fmt.Sprint(e.Seq),
		e.At.UTC().Format("2006-01-02T15:04:05.000000Z"), e.Member.String(), e.Who, e.Act, e.Room.String(), e.Stage,
		e.Says, string(bytes.TrimSpace(e.Detail))}, "\n"))
}

// oneLine returns text without what would break an entry's line.
func oneLine(text string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\r' || r == 0 {
			return ' '
		}
		return r
	}, text)
}

// Break is where a chain does not hold.
type Break struct {
	Seq  int64
	Says string
}
