package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"golang.org/x/sync/errgroup"

	"lathmark/cmd/lathmark/scenario"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/web"
)

// firmAtWork is a firm with rooms that are measured, as its foreman sees it.
type firmAtWork struct {
	cookie string // of a browser that the foreman came in with
	key    string // of a program that asks in the foreman's name
	jobs   []string
	rooms  []*measured
}

// measured is a room: a ceiling between four walls that get board and skim, under
// joists, with 12 downlights, a pendant and a fan, each measured from every wall.
type measured struct {
	id        string
	name      string
	wide, far float64
	places    map[string][2]float64 // of the positions
	// As the program has them, where somebody measures.
	positions, walls []handle
}

type handle struct{ ID, Name string }

// found makes a firm with its jobs and rooms, through a server that ends when all
// is there, so that the server that is measured has had nothing to do with it.
func (d *cluster) found(b *testing.B, chance *rand.Rand, name string, jobs, rooms int) *firmAtWork {
	b.Helper()
	f := &firmAtWork{}
	link := f.hires(b, d, name)
	p := d.serve(b)
	defer p.end(b)
	f.comesIn(b, p.at, link)
	for i := range jobs {
		f.jobs = append(f.jobs, f.opensJob(b, p.at, fmt.Sprintf("%d Orchard Row", i+1)))
	}
	for i := range rooms {
		f.rooms = append(f.rooms, newMeasured(chance, fmt.Sprintf("Room %d", i+1)))
	}
	group, ctx := errgroup.WithContext(b.Context())
	group.SetLimit(4)
	for i, r := range f.rooms {
		sheet := r.sheet(chance)
		group.Go(func() error { return f.takesIn(ctx, p.at, f.jobs[i*jobs/rooms], r, sheet) })
	}
	if err := group.Wait(); err != nil {
		b.Fatal(err)
	}
	return f
}

// hires founds the firm with a foreman, and returns the link that lets the foreman
// in once.
func (f *firmAtWork) hires(b *testing.B, d *cluster, name string) (link string) {
	b.Helper()
	d.opens(b, func(db *persistence.DB) error {
		people := persistence.NewServices(db, time.Now).Firm
		owner, _, err := people.Found(b.Context(), name, "Ada Fell")
		if err != nil {
			return err
		}
		foreman, err := people.AddMember(b.Context(), owner, firm.Person{ID: id.New[id.Member](), Name: "Bram Okafor",
			Role: firm.Foreman})
		if err != nil {
			return err
		}
		if link, err = people.OneTimeLink(b.Context(), owner, foreman.ID); err != nil {
			return err
		}
		_, f.key, err = people.MakeKey(b.Context(), foreman.Person, "the load", firm.KeyRuns, 24*time.Hour)
		return err
	})
	return link
}

// demo is the firm of the demo, with its ten rooms in every state.
func (d *cluster) demo(b *testing.B) *firmAtWork {
	b.Helper()
	f, link := &firmAtWork{}, ""
	d.opens(b, func(db *persistence.DB) error {
		made, err := scenario.Make(b.Context(), db, time.Now())
		if err != nil {
			return err
		}
		people := persistence.NewServices(db, time.Now).Firm
		all, err := people.Members(b.Context(), firm.Person{Firm: made.Firm, Role: firm.Owner})
		if err != nil {
			return err
		}
		owner := all[slices.IndexFunc(all, func(m firm.Member) bool { return m.Role == firm.Owner })]
		foreman := all[slices.IndexFunc(all, func(m firm.Member) bool { return m.Role == firm.Foreman })]
		link, err = people.OneTimeLink(b.Context(), owner.Person, foreman.ID)
		return err
	})
	p := d.serve(b)
	defer p.end(b)
	f.comesIn(b, p.at, link)
	return f
}

// opens opens the program's database for a moment.
func (d *cluster) opens(b *testing.B, do func(*persistence.DB) error) {
	b.Helper()
	db, err := persistence.Open(b.Context(), d.pg.URL(loadDatabase, migrations.Server))
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	db.Pictures = &dbtest.Pictures{}
	if err := do(db); err != nil {
		b.Fatal(err)
	}
}

// once is a client that asks one question.
func once() *client { return &client{http: http.Client{CheckRedirect: stay}} }

// comesIn uses the link as a browser does, and keeps the cookie.
func (f *firmAtWork) comesIn(b *testing.B, at, link string) {
	b.Helper()
	answer, err := once().post(b.Context(), at, web.ComeInPath+link, "", url.Values{})
	if err != nil {
		b.Fatal(err)
	}
	if all := answer.Cookies(); len(all) == 1 {
		f.cookie = all[0].Name + "=" + all[0].Value
		return
	}
	b.Fatalf("coming in gives the cookies %v", answer.Cookies())
}

// post sends a form as a page of ours does, and wants to be sent on.
func (c *client) post(ctx context.Context, at, to, cookie string, form url.Values) (*http.Response, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, at+to, strings.NewReader(form.Encode()))
	if err != nil {
		return nil, err
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", at)
	r.Header.Set("Cookie", cookie)
	answer, err := c.http.Do(r)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err == nil && answer.StatusCode != http.StatusSeeOther {
		err = fmt.Errorf("POST %s is answered %d, want %d: %.4000s", r.URL.Path, answer.StatusCode, http.StatusSeeOther, text)
	}
	return answer, err
}

// opensJob opens a job, over a page, and returns its id.
func (f *firmAtWork) opensJob(b *testing.B, at, name string) string {
	b.Helper()
	answer, err := once().post(b.Context(), at, web.NewJobPath, f.cookie, url.Values{"name": {name}})
	if err != nil {
		b.Fatal(err)
	}
	return lastPart(answer)
}

// lastPart is the last part of the address that one is sent on to.
func lastPart(r *http.Response) string {
	at, _, _ := strings.Cut(r.Header.Get("Location"), "?")
	return path.Base(at)
}

// takesIn reads a room in from its room sheet.
func (f *firmAtWork) takesIn(ctx context.Context, at, job string, r *measured, sheet string) error {
	answer, err := once().post(ctx, at, web.Place{Job: job}.ImportRoom(), f.cookie, url.Values{"sheet": {sheet}})
	if err == nil {
		r.id = lastPart(answer)
	}
	return err
}

// newMeasured is a room of some 4 by 3 m.
func newMeasured(chance *rand.Rand, name string) *measured {
	r := &measured{name: name, wide: 3600 + math.Round(1800*chance.Float64()),
		far:    2700 + math.Round(900*chance.Float64()),
		places: map[string][2]float64{}}
	for i := range 12 {
		r.places[fmt.Sprintf("D%d", i+1)] = [2]float64{math.Round(r.wide * (float64(i%4) + 0.5) / 4),
			math.Round(r.far * (float64(i/4) + 0.5) / 3)}
	}
	r.places["P1"] = [2]float64{math.Round(r.wide / 2), math.Round(r.far / 2)}
	r.places["F1"] = [2]float64{math.Round(r.wide) - 400, math.Round(r.far) - 300}
	return r
}

// from is how far a position is from a wall.
func (r *measured) from(position, wall string) float64 {
	at := r.places[position]
	return map[string]float64{"south": at[1], "north": r.far - at[1], "west": at[0], "east": r.wide - at[0]}[wall]
}

// reads is what a tape shows of it.
func reads(chance *rand.Rand, truth float64) float64 {
	return math.Round(truth + 2*chance.NormFloat64())
}

var layers = []map[string]any{{"id": "board", "thickness": 12.5, "sigma": 0.5, "stage": "boarding"},
	{"id": "skim", "thickness": 3, "sigma": 1, "stage": "plaster"}}

// sheet is the room's room sheet.
func (r *measured) sheet(chance *rand.Rand) string {
	type all = []map[string]any
	corners := [][2]float64{{0, 0}, {r.wide, 0}, {r.wide, r.far}, {0, r.far}}
	ceiling := map[string]any{"id": "ceiling", "kind": "ceiling", "layers": layers}
	var walls, timbers, positions, measurements all
	names := []string{"south", "east", "north", "west"}
	for i, name := range names {
		walls = append(walls, map[string]any{"id": name, "kind": "face", "layers": layers,
			"line": [][2]float64{corners[i], corners[(i+1)%len(corners)]}})
	}
	for u := 300.0; u < r.wide; u += 400 {
		timbers = append(timbers, map[string]any{"id": fmt.Sprintf("J%d", len(timbers)+1), "width": 47,
			"line": [][2]float64{{u, 0}, {u, r.far}}})
	}
	for i := range len(r.places) {
		p := map[string]any{"id": fmt.Sprintf("D%d", i+1), "kind": "downlight", "cutout": 76}
		switch i {
		case 12:
			p = map[string]any{"id": "P1", "kind": "pendant", "cutout": 22}
		case 13:
			p = map[string]any{"id": "F1", "kind": "fan", "cutout": 105}
		}
		positions = append(positions, p)
		for _, wall := range names {
			of := p["id"].(string)
			measurements = append(measurements, map[string]any{"id": fmt.Sprintf("m%d", len(measurements)+1),
				"kind": "offset", "of": of, "from": wall, "state": "bare", "value": reads(chance, r.from(of, wall))})
		}
	}
	ceiling["datums"], ceiling["timbers"], ceiling["positions"], ceiling["measurements"] = walls, timbers, positions,
		measurements
	text, err := json.Marshal(map[string]any{"format": "lathmark-room/1", "room": r.name, "surfaces": all{ceiling}})
	if err != nil {
		panic(err) // there is nothing in it that JSON does not have
	}
	return string(text)
}

// learns asks what the program calls the positions and walls of a room.
func (f *firmAtWork) learns(b *testing.B, at string, r *measured) {
	b.Helper()
	ask, err := http.NewRequestWithContext(b.Context(), http.MethodGet, at+"/api/v1/rooms/"+r.id+"/record", http.NoBody)
	if err != nil {
		b.Fatal(err)
	}
	ask.Header.Set("Authorization", "Bearer "+f.key)
	answer, err := http.DefaultClient.Do(ask)
	if err != nil {
		b.Fatal(err)
	}
	defer answer.Body.Close()
	var is struct{ Positions, Datums []handle }
	if err := json.NewDecoder(answer.Body).Decode(&is); err != nil || answer.StatusCode != http.StatusOK {
		b.Fatalf("%s is answered %d: %v", ask.URL.Path, answer.StatusCode, err)
	}
	r.positions, r.walls = is.Positions, is.Datums
}

// measures measures over the API, in so many rooms of each turn; those of the
// first turn begin with the first.
func (f *firmAtWork) measures(b *testing.B, at string, rooms, first int) func(context.Context, *client, int) (int64,
	error) {
	b.Helper()
	for _, r := range f.rooms[first : first+(turns+1)*rooms] {
		f.learns(b, at, r)
	}
	return func(ctx context.Context, c *client, turn int) (int64, error) {
		r := f.rooms[first+turn*rooms+c.n%rooms]
		of := r.positions[(c.n+c.made)%len(r.positions)]
		from := r.walls[c.made%len(r.walls)]
		chance := rand.New(rand.NewPCG(uint64(c.n), uint64(c.made)))
		body, err := json.Marshal(map[string]any{"id": uuid.Must(uuid.NewV7()), "kind": "offset", "of": of.ID,
			"from": from.ID, "state": "bare", "value": reads(chance, r.from(of.Name, from.Name))})
		if err != nil {
			return 0, err
		}
		ask, err := http.NewRequestWithContext(ctx, http.MethodPost, at+"/api/v1/rooms/"+r.id+"/measurements",
			bytes.NewReader(body))
		if err != nil {
			return 0, err
		}
		ask.Header.Set("Authorization", "Bearer "+f.key)
		ask.Header.Set("Content-Type", "application/json")
		return c.send(ask, http.StatusCreated)
	}
}
