package main

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/sync/errgroup"

	"lathmark/cmd/demo/scenario"
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
		owner, _, err := people.Found(b.Context(), name, "UTC", "Ada Fell")
		if err != nil {
			return err
		}
		foreman, err := people.TakeOn(b.Context(), owner, id.Member{}, firm.Particulars{Name: "Bram Okafor",
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

// demo returns the firm of the demo, with its ten rooms in every state.
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

// once returns a client that asks one question.
func once() *client { return &client{http: http.Client{CheckRedirect: stay}} }

// comesIn uses the link as a browser does, and keeps the cookie.
func (f *firmAtWork) comesIn(b *testing.B, at, link string) {
	b.Helper()
	header, err := once().post(b.Context(), at, web.OneTimeLinkPath+link, "", url.Values{})
	if err != nil {
		b.Fatal(err)
	}
	all := (&http.Response{Header: header}).Cookies()
	if len(all) != 1 {
		b.Fatalf("coming in sets the cookies %v", all)
	}
	f.cookie = all[0].Name + "=" + all[0].Value
}

// post sends a form as a page of ours does, wants to be sent on, and returns the
// answer's header.
func (c *client) post(ctx context.Context, at, to, cookie string, form url.Values) (http.Header, error) {
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
	return answer.Header, err
}

// opensJob opens a job, over a page, and returns its id.
func (f *firmAtWork) opensJob(b *testing.B, at, name string) string {
	b.Helper()
	header, err := once().post(b.Context(), at, web.NewJobPath, f.cookie, url.Values{"name": {name}})
	if err != nil {
		b.Fatal(err)
	}
	return lastPart(header)
}

// lastPart returns the last part of the address that one is sent on to.
func lastPart(h http.Header) string {
	at, _, _ := strings.Cut(h.Get("Location"), "?")
	return path.Base(at)
}

// takesIn reads a room in from its room sheet.
func (f *firmAtWork) takesIn(ctx context.Context, at, job string, r *measured, sheet string) error {
	header, err := once().post(ctx, at, web.Place{Job: job}.ImportRoom(), f.cookie, url.Values{"sheet": {sheet}})
	if err == nil {
		r.id = lastPart(header)
	}
	return err
}
