package gates_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/jackc/pgx/v5"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// said is all that people can learn from a standing.
type said struct {
	Record    any
	Sheet     any
	SetOut    string
	Obstacles [5]any
	Tasks     map[words.Trade]any
	Next      map[words.Trade]any
	Lead      [5][]words.Trade
	Turn      words.Trade
	Holes     []string
	Row       any
	Until     time.Time
	Seq       int64
}

func everything(t *testing.T, j *standing.Standing) said {
	t.Helper()
	out := said{Record: *j.Record, Sheet: *j.Sheet, Tasks: map[words.Trade]any{}, Next: map[words.Trade]any{},
		Turn: j.Gate.WhoNext(), Row: j.Row(words.Foreman), Until: j.Until, Seq: j.Seq}
	text, err := json.Marshal(j.SetOut())
	if err != nil {
		t.Fatal(err)
	}
	out.SetOut = string(text)
	for _, s := range words.Stages {
		out.Obstacles[s], out.Lead[s] = j.Obstacles(s), j.Gate.Lead(s)
	}
	for _, trade := range words.Trades {
		out.Tasks[trade], out.Next[trade] = j.Gate.Tasks(trade), j.Gate.Next(trade)
	}
	for _, h := range j.Holes {
		out.Holes = append(out.Holes, fmt.Sprint(h.Position.Name, h.First, h.Answer.Plan))
	}
	return out
}

// process is the program once more, over the same database: nothing that it
// keeps is shared.
func process(t *testing.T, s *dbtest.Site) *dbtest.Site {
	t.Helper()
	db, err := persistence.Open(t.Context(), s.Database.URL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	out := *s
	out.DB, out.Services = db, persistence.NewServices(db, s.Clock.Now)
	return &out
}

// sameAsFresh holds what a process keeps of a room against the room read and
// worked out anew.
func sameAsFresh(t *testing.T, what string, s *dbtest.Site, of id.Room) {
	t.Helper()
	kept, err := s.Book.Read(t.Context(), s.Foreman, of)
	if err != nil {
		t.Fatal(err)
	}
	fresh, err := persistence.NewServices(s.DB, func() time.Time { return kept.Now }).Book.Read(t.Context(), s.Foreman, of)
	if err != nil {
		t.Fatal(err)
	}
	is, was := everything(t, fresh), everything(t, kept)
	if reflect.DeepEqual(is, was) {
		return // cmp takes twenty times as long to find that
	}
	if d := cmp.Diff(is, was, cmpopts.EquateEmpty()); d != "" {
		t.Fatalf("%s: what is kept is not what is stored (-stored +kept):\n%s", what, d)
	}
}

// A random history, in which now one process and now another writes: what each
// keeps of the room is what reading it anew says, after every act, after the
// names that a record has from elsewhere were changed, and after days went by.
func TestWhatIsKeptIsWhatIsStored(t *testing.T) {
	s := dbtest.New(t)
	r := seed(t)
	conn, err := pgx.Connect(t.Context(), s.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	processes := []*dbtest.Site{s, process(t, s)}
	changed := 0
	for range count("LATHMARK_HISTORIES", 2) {
		h := begin(t, s, r)
		for step := range 90 {
			a := one(r, acts)
			if r.IntN(2) == 0 {
				a = act{"mend", (*history).mend}
			}
			h.Site = one(r, processes)
			switch after, err := a.do(h); {
			case fault.KindOf(err) != "":
			case err != nil:
				t.Fatalf("%s: %v", a.name, err)
			default:
				h.at = after
				changed++
			}
			switch r.IntN(12) {
			case 0:
				s.Clock.Pass(time.Duration(r.IntN(40)) * 12 * time.Hour)
			case 1:
				rename(t, conn, s.Foreman.ID, step)
			case 2:
				if r.IntN(2) == 0 { // closed, looked at, and opened again
					_, err := h.Job.Close(t.Context(), s.Foreman, h.at.Record.Job, true)
					if err != nil {
						t.Fatal(err)
					}
					for i, p := range processes {
						sameAsFresh(t, fmt.Sprintf("process %d, the job closed", i), p, h.id())
					}
					if _, err := h.Job.Reopen(t.Context(), s.Foreman, h.at.Record.Job); err != nil {
						t.Fatal(err)
					}
				}
				if _, err := h.Job.Rename(t.Context(), s.Foreman, h.at.Record.Job, 0, fmt.Sprint("Job ", step), ""); err != nil {
					t.Fatal(err)
				}
			}
			for i, p := range processes {
				sameAsFresh(t, fmt.Sprintf("process %d after %s", i, a.name), p, h.id())
			}
		}
	}
	if changed < 60 {
		t.Errorf("only %d acts changed anything: the test says little", changed)
	}
}

func rename(t *testing.T, conn *pgx.Conn, of id.Member, n int) {
	t.Helper()
	_, err := conn.Exec(t.Context(), "update member set name = $2 where id = $1", [16]byte(of), fmt.Sprint("Name ", n))
	if err != nil {
		t.Fatal(err)
	}
}
