package room

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"strings"
	"sync"
	"time"

	"lathmark/domain/caution"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
)

// Book opens rooms to read and to write. All services that touch a room go
// through it, so that every write is judged the same way.
type Book struct {
	in     InTx
	now    func() time.Time
	solved answers
}

// NewBook makes a book; now is its clock.
func NewBook(in InTx, now func() time.Time) *Book {
	return &Book{in: in, now: func() time.Time { return now().UTC().Truncate(time.Microsecond) }}
}

// Writing is a room that is being written to, in one transaction. Its lock is
// held; Record is the room as it was when the lock was taken.
type Writing struct {
	Tx     Tx
	Record *Record
	By     firm.Person
	Now    time.Time // the transaction's one reading of the clock
	book   *Book
	notes  []diary.Entry
}

// Note adds a line to the diary. A write without a line changes nothing: it is
// taken for a repeat of an earlier one.
func (w *Writing) Note(act string, stage *gate.Stage, says string, detail any) error {
	code := ""
	if stage != nil {
		code = stage.Code()
	}
	e, err := diary.New(w.By, w.Record.Job, w.Record.ID, code, act, says, detail, w.Now)
	w.notes = append(w.notes, e)
	return err
}

// Notes tells how many lines there are so far.
func (w *Writing) Notes() int { return len(w.notes) }

// Reload reads the room again, as it stands after what was written so far.
func (w *Writing) Reload(ctx context.Context) error {
	r, err := w.Tx.Record(ctx, w.Record.ID)
	if err == nil {
		w.Record = r
	}
	return err
}

// Judge gives the room as it stands after what was written so far, with the
// answers of the geometry and of the gates.
func (w *Writing) Judge(ctx context.Context) (*Judged, error) {
	if err := w.Reload(ctx); err != nil {
		return nil, err
	}
	return w.book.judge(w.Record, w.Now)
}

// MoveGates stores what a move of the state machine left of the gates.
func (w *Writing) MoveGates(ctx context.Context, after gate.Gates) error {
	for _, g := range changed(w.Record.Gates, after) {
		if g.State == gate.Offered {
			g.OfferedBy, g.OfferedAt = w.By.ID, w.Now
		}
		if err := w.Tx.UpdateGate(ctx, w.Record.ID, g); err != nil {
			return err
		}
	}
	return nil
}

// SignGates is MoveGates for a sign-off that is stored already.
func (w *Writing) SignGates(ctx context.Context, after gate.Gates, signed SignOff) error {
	for _, g := range changed(w.Record.Gates, after) {
		if g.State == gate.SignedOff {
			g.SignOff = signed.ID
		}
		if err := w.Tx.UpdateGate(ctx, w.Record.ID, g); err != nil {
			return err
		}
	}
	return nil
}

// Write opens a room to write to: the policy is asked, the room locked and
// read, do writes, the result is judged, the diary written. Everything happens
// or nothing. It gives the room as it is afterwards. Faults: what may and do
// give; NotFound; BadInput where the room would not be one; Obstacle where a
// signed stage would no longer be one that can be signed.
func (b *Book) Write(ctx context.Context, by firm.Person, room id.Room, may firm.Policy, do func(*Writing) error) (j *Judged, err error) {
	if err := may(by); err != nil {
		return nil, err
	}
	err = b.in(ctx, by.Firm, func(tx Tx) error {
		if err := tx.LockRoom(ctx, room); err != nil {
			return err
		}
		r, err := tx.Record(ctx, room)
		if err != nil {
			return err
		}
		w := &Writing{Tx: tx, Record: r, By: by, Now: b.now(), book: b}
		if err := do(w); err != nil {
			return err
		}
		j, err = b.finish(ctx, w)
		return err
	})
	return j, err
}

// finish judges what was written and writes the diary.
func (b *Book) finish(ctx context.Context, w *Writing) (*Judged, error) {
	j, err := w.Judge(ctx)
	if err != nil {
		return nil, err
	}
	for _, s := range gate.Stages {
		if w.Record.Gates[s].State != gate.SignedOff {
			break
		}
		for _, o := range j.Obstacles(s) {
			if o.Hard {
				return nil, &fault.Error{Kind: fault.Obstacle, Msg: capital(s.String()) + " is signed off, and with this it could not be: " + o.Wrong +
					". Reopen it first.", Fields: []fault.Field{{Path: string(o.About.Kind) + "/" + o.About.ID, Wrong: o.Wrong, Mend: o.Mend}}}
			}
		}
	}
	return j, diary.Append(ctx, w.Tx, w.notes...)
}

// Read gives a room as it is now. The people on site may ask. Faults: Refused,
// NotFound.
func (b *Book) Read(ctx context.Context, by firm.Person, room id.Room) (j *Judged, err error) {
	if err := firm.MayRead(by); err != nil {
		return nil, err
	}
	err = b.in(ctx, by.Firm, func(tx Tx) error {
		j, err = b.Open(ctx, tx, room)
		return err
	})
	return j, err
}

// Open gives a room as it is, inside a transaction and for whoever asks: the
// caller has asked a policy.
func (b *Book) Open(ctx context.Context, tx Tx, room id.Room) (*Judged, error) {
	r, err := tx.Record(ctx, room)
	if err != nil {
		return nil, err
	}
	return b.judge(r, b.now())
}

// In runs do in a transaction of a firm, for services that look at more than
// one room.
func (b *Book) In(ctx context.Context, of id.Firm, do func(Tx) error) error { return b.in(ctx, of, do) }

// Now is the book's clock.
func (b *Book) Now() time.Time { return b.now() }

func (b *Book) judge(r *Record, now time.Time) (*Judged, error) {
	sheet := r.Sheet()
	solved, err := b.solved.of(sheet)
	if err != nil {
		return nil, err
	}
	return judge(r, solved, sheet, dryAfter, now), nil
}

func dryAfter(thickness float64, finished time.Time) time.Time {
	return caution.Dry(caution.CoatOf(thickness), thickness, finished).Earliest
}

// answers keeps the geometry's answers by the content of the sheet, so that a
// room that has not changed is not worked out again.
type answers struct {
	mu   sync.Mutex
	kept map[[32]byte][]roomsheet.Solved
}

// most answers kept; one of a room is some tens of kilobytes.
const most = 512

// of checks a sheet and gives its answers, which are shared: nobody changes
// them. Faults: BadInput.
func (a *answers) of(sheet *roomsheet.Room) ([]roomsheet.Solved, error) {
	text, err := json.Marshal(sheet)
	if err != nil {
		return nil, err
	}
	key := sha256.Sum256(text)
	a.mu.Lock()
	solved, ok := a.kept[key]
	a.mu.Unlock()
	if ok {
		return solved, nil
	}
	if err := check(sheet); err != nil {
		return nil, err
	}
	solved = sheet.Solve()
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.kept == nil || len(a.kept) >= most {
		a.kept = map[[32]byte][]roomsheet.Solved{}
	}
	a.kept[key] = solved
	return solved, nil
}

// check is the room sheet's own, but for a room that has no surface yet.
func check(sheet *roomsheet.Room) error {
	if len(sheet.Surfaces) > 0 {
		return roomsheet.Check(sheet)
	}
	bare := *sheet
	bare.Surfaces = []roomsheet.Surface{{ID: "floor", Kind: "floor"}}
	return roomsheet.Check(&bare)
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
