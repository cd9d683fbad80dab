package main_test

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"lathmark/domain/room"
	"lathmark/domain/room/roomtest"
	"lathmark/domain/roomsheet"
	"lathmark/domain/sums"
	"lathmark/domain/words"

	"github.com/google/uuid"
)

// agree is how far a length on the phone may be from the server's, mm.
const agree = 0.1

var rooms = []string{"kitchen", "landing", "sloping-ceiling", "socket-wall", "wet-room"}

// built is the module, built once for all tests as `make sums` does; LATHMARK_SUMS names
// the one that `make test` has just built.
var built = sync.OnceValues(func() (string, error) {
	if made := os.Getenv("LATHMARK_SUMS"); made != "" {
		return made, nil
	}
	folder, err := os.MkdirTemp("", "sums")
	if err != nil {
		return "", err
	}
	out := filepath.Join(folder, "sums.wasm")
	b := exec.Command("go", "build", "-buildmode=c-shared", "-trimpath", "-ldflags=-s -w", "-o", out, ".")
	b.Env = append(os.Environ(), "GOOS=wasip1", "GOARCH=wasm", "CGO_ENABLED=0")
	if said, err := b.CombinedOutput(); err != nil {
		return "", fmt.Errorf("go build: %w\n%s", err, said)
	}
	return out, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if at, err := built(); err == nil && at != os.Getenv("LATHMARK_SUMS") {
		os.RemoveAll(filepath.Dir(at))
	}
	os.Exit(code)
}

// onPhone has the module answer in Node.js, through the script that pages
// load. most is how many bytes a run may hold after its answer.
func onPhone(t *testing.T, most int, asked ...string) []string {
	t.Helper()
	module, err := built()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command("node", "testdata/work.mjs", module, "../../web/script/sums.js", strconv.Itoa(most))
	var said bytes.Buffer
	c.Stdin, c.Stderr = strings.NewReader(strings.Join(asked, "\n")+"\n"), &said
	out, err := c.Output()
	if err != nil {
		t.Fatalf("node: %v\n%s", err, said.String())
	}
	lines := strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
	if len(lines) != len(asked) {
		t.Fatalf("asked %d, answered %d", len(asked), len(lines))
	}
	return lines
}

// apart gathers the largest difference between what the phone and the server
// say, by what it is about; words, flags and counts must be the same.
type apart struct {
	*testing.T
	room     string
	most     map[string]float64
	compared int
}

func (d *apart) number(path string, a, b float64) {
	kind := path[strings.LastIndex(path, ".")+1:]
	d.most[kind] = math.Max(d.most[kind], math.Abs(a-b))
	d.compared++
	if !(math.Abs(a-b) <= agree) {
		d.Errorf("%s: %s is %g on the phone and %g on the server", d.room, path, a, b)
	}
}

// same walks two JSON values.
func (d *apart) same(path string, a, b any) {
	switch x := a.(type) {
	case float64:
		if y, ok := b.(float64); ok {
			d.number(path, x, y)
			return
		}
	case map[string]any:
		if y, ok := b.(map[string]any); ok && len(x) == len(y) {
			for k := range x {
				d.same(path+"."+k, x[k], y[k])
			}
			return
		}
	case []any:
		if y, ok := b.([]any); ok && len(x) == len(y) {
			for k := range x {
				d.same(path, x[k], y[k])
			}
			return
		}
	default:
		if reflect.DeepEqual(a, b) {
			return
		}
	}
	d.Errorf("%s: %s is %v on the phone and %v on the server", d.room, path, a, b)
}

func tree(t *testing.T, text []byte) any {
	t.Helper()
	var out any
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatalf("%v: %.300s", err, text)
	}
	return out
}

// asking is a question about a room, and a twin of the room as the server has
// it after the same acts.
type asking struct {
	name  string
	sheet *roomsheet.Room
	text  string
}

// asks draws n measurements for a room, between one and ten, and returns the
// question that a phone asks, with the room sheet in which the server has the
// same measurements.
func asks(t *testing.T, rng *rand.Rand, name string, n int) asking {
	t.Helper()
	sheet := roomtest.Sheet(t, "../..", name)
	for i := range sheet.Surfaces { // in a record's order
		slices.SortFunc(sheet.Surfaces[i].Timbers, func(a, b roomsheet.Timber) int {
			return cmp.Or(len(a.ID)-len(b.ID), strings.Compare(a.ID, b.ID))
		})
	}
	r := roomtest.Record(t, sheet)
	asked := sums.Asked{Room: *sums.Of(r)}
	answer := roomsheet.SetOut(sheet)
	for len(asked.Acts) < n {
		k := rng.IntN(len(r.Positions))
		if a, ok := drawn(rng, r, sheet, answer, &r.Positions[k], len(r.Measurements)+len(asked.Acts)+1); ok {
			asked.Acts = append(asked.Acts, a)
		}
	}
	text, err := json.Marshal(asked)
	if err != nil {
		t.Fatal(err)
	}
	return asking{name, sheet, string(text)}
}

// drawn returns one more offset of a position from a datum of its surface, near
// where it is or anywhere, in some state; it is added to the sheet under the
// name that the room returns it. ok is false if the datum would not do.
func drawn(rng *rand.Rand, r *room.Record, sheet *roomsheet.Room, answer *roomsheet.Answer, q *room.Position,
	number int) (a sums.Act, ok bool) {
	var datums []room.Datum
	for _, d := range r.Datums {
		if d.Surface == q.Surface {
			datums = append(datums, d)
		}
	}
	d := datums[rng.IntN(len(datums))]
	s := slices.IndexFunc(r.Surfaces, func(s room.Surface) bool { return s.ID == q.Surface })
	state, states := "", []string{}
	for _, l := range r.LayersOf(d.Surface, d.ID) {
		states = append(states, l.Name)
	}
	if len(states) > 0 {
		state = append(states, roomsheet.Bare)[rng.IntN(len(states)+1)]
	}
	value := math.Round(300 + 1500*rng.Float64())
	for _, p := range answer.Surfaces[s].Positions {
		if p.ID == q.Name && p.Place != nil && rng.IntN(4) > 0 {
			for _, o := range p.SetOut {
				if o.From == d.Name {
					value = math.Round(o.Value + 4*rng.NormFloat64())
				}
			}
		}
	}
	if d.Kind != words.Line && value <= 0 {
		return a, false
	}
	field := d.ID.String() + "|" + state
	if d.Kind == words.Line {
		field = d.ID.String() + "|" + room.SideOf(value)
	}
	sheet.Surfaces[s].Measurements = append(sheet.Surfaces[s].Measurements,
		roomsheet.Measurement{ID: "m" + strconv.Itoa(number), Kind: "offset", Of: q.Name, From: d.Name, State: state,
			Value: value, By: "laser"})
	return sums.Act{ID: uuid.Must(uuid.NewV7()), Kind: "measure", At: "/rooms/x/measure",
		Made: time.Date(2026, 12, 1, 8, number, 0, 0, time.UTC), Form: map[string][]string{
			"kind": {"offset"}, "position": {q.ID.String()}, "datum": {field}, "value": {fmt.Sprintf("%g", math.Abs(value))},
			"by": {"laser"}}}, true
}

// The phone's answer is the server's: of every room sheet as it is, and with
// one to ten more measurements that are not yet sent, every offset to mark,
// ellipse, chance and flag. Both do the same sums in float64 (IEEE 754), so
// they should not differ at all but for what a processor fuses.
func TestThePhoneSaysWhatTheServerSays(t *testing.T) {
	const seed, each = 20261125, 10
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	var all []asking
	for _, name := range rooms {
		all = append(all, asks(t, rng, name, 0))
		for k := range each {
			all = append(all, asks(t, rng, name, 1+k))
		}
	}
	texts := make([]string, len(all))
	for i := range all {
		texts[i] = all[i].text
	}
	d := &apart{T: t, most: map[string]float64{}}
	for i, said := range onPhone(t, 64<<20, texts...) {
		d.room = fmt.Sprintf("%s, question %d", all[i].name, i)
		phone := tree(t, []byte(said)).(map[string]any)
		native, err := sums.Work([]byte(all[i].text))
		if err != nil {
			t.Fatal(err)
		}
		d.same("answer", phone, tree(t, native))
		set, err := json.Marshal(roomsheet.SetOut(all[i].sheet))
		if err != nil {
			t.Fatal(err)
		}
		d.same("setout", figures(phone["setout"]), tree(t, set))
	}
	largest, kind := 0.0, ""
	for k, x := range d.most {
		if x >= largest {
			largest, kind = x, k
		}
	}
	t.Logf("%d rooms, %d figures; the largest difference is %.3g, of %q", len(all), d.compared, largest, kind)
	if d.compared < 30_000 {
		t.Errorf("only %d figures were compared", d.compared)
	}
}

// What cannot be read is answered with the reason, and the next is answered
// all the same; a run that has grown is let go and another started.
func TestARunThatIsLetGo(t *testing.T) {
	good := asks(t, rand.New(rand.NewPCG(1, 1)), "landing", 2).text
	for _, most := range []int{0, 64 << 20} {
		said := onPhone(t, most, good, "{", good, strings.Repeat(" ", 1<<20)+good)
		if !strings.HasPrefix(said[1], "!The room on this phone") {
			t.Errorf("a brace was answered with %.100q", said[1])
		}
		if !strings.HasPrefix(said[0], "{") || said[2] != said[0] || said[3] != said[0] {
			t.Errorf("the same question was answered with %.100q, %.100q and %.100q", said[0], said[2], said[3])
		}
	}
}

// figures is a set-out without what is said of the holes and before them, which the
// record knows more of than its sheet.
func figures(setout any) any {
	delete(setout.(map[string]any), "cautions")
	for _, s := range setout.(map[string]any)["surfaces"].([]any) {
		for _, p := range s.(map[string]any)["positions"].([]any) {
			delete(p.(map[string]any), "advice")
		}
	}
	return setout
}
