package main

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// killable is a demo in a process of its own, for tests to kill.
type killable struct {
	cmd  *exec.Cmd
	said *spoken
	at   string // address without a scheme
}

// starts starts a demo on data and waits until it answers.
func starts(t *testing.T, data string) *killable {
	t.Helper()
	d := &killable{cmd: exec.Command(os.Args[0], "-test.run=^TestAsDemo$"), said: newSpoken()}
	d.cmd.Env = append(os.Environ(), asDemo+"="+data)
	d.cmd.Stdout, d.cmd.Stderr = d.said, d.said
	if err := d.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(d.kill)
	d.at = d.said.find(t, `is at http://(\S+)`)
	return d
}

// asks asks the demo's database.
func (d *killable) asks(t *testing.T, sql string) string {
	t.Helper()
	psql := d.said.find(t, `(?m)^  (.*psql.*)$`)
	out, err := exec.Command("sh", "-c", psql+` -At -c "`+sql+`"`).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return strings.TrimSpace(string(out))
}

// kill ends it without a chance to tidy up.
func (d *killable) kill() {
	_ = d.cmd.Process.Kill()
	_ = d.cmd.Wait() // it was killed
}

// shell returns a browser with a folder of its own, as a phone has its memory. It can be killed
// and started again.
func shell(t *testing.T, folder string) context.Context {
	t.Helper()
	all, stop := chromedp.NewExecAllocator(context.Background(), append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.UserDataDir(folder))...)
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(all)
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	return ctx
}

// dies kills the phone's browser at once, as a flat battery does, and returns its cookies:
// Chromium writes those to the disk every half minute, and whoever is on a visit came in
// longer ago than that.
func (p *phone) dies() []*network.CookieParam {
	p.t.Helper()
	had, err := chromedp.CallBrowser(p.ctx, storage.GetCookies, storage.GetCookiesParams{})
	if err != nil {
		p.t.Fatal(err)
	}
	var out []*network.CookieParam
	for _, c := range had.Cookies {
		out = append(out, &network.CookieParam{Name: c.Name, Value: c.Value, Domain: c.Domain, Path: c.Path,
			HTTPOnly: c.HTTPOnly, SameSite: c.SameSite})
	}
	b := chromedp.FromContext(p.ctx).Browser
	if err := b.Process().Kill(); err != nil {
		p.t.Fatal(err)
	}
	<-b.LostConnection
	return out
}

// remembers returns the phone cookies back.
func (p *phone) remembers(cookies []*network.CookieParam) {
	p.t.Helper()
	if _, err := chromedp.CallBrowser(p.ctx, storage.SetCookies, storage.SetCookiesParams{Cookies: cookies}); err != nil {
		p.t.Fatal(err)
	}
}

// walled is what of a room a visit needs.
type walled struct {
	ID, Name                    string
	Surfaces                    []struct{ ID string }
	Positions                   []struct{ ID, Surface string }
	Datums                      []struct{ ID, Surface, Kind string }
	Measurements, Photos, Snags []struct{ ID string }
	Openings                    []opened
	Stages                      []struct{ State string }
}

type opened struct{ ID, Position, Outcome string }

// asks asks the API as whoever is signed in on the phone.
func asks[T any](p *phone, path string) T {
	p.t.Helper()
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`fetch("/api/v1`+path+`").then(r => r.text())`,
		chromedp.EvalAwaitPromise))
	var out T
	if err == nil {
		err = json.Unmarshal([]byte(text), &out)
	}
	if err != nil {
		p.t.Fatalf("%s: %v: %.300s", path, err, text)
	}
	return out
}

// rooms returns every room of the firm by its name.
func (p *phone) rooms() map[string]walled {
	p.t.Helper()
	jobs := asks[struct {
		Items []struct {
			Rooms []struct{ Room struct{ ID string } }
		}
	}](p, "/overview")
	out := map[string]walled{}
	for _, j := range jobs.Items {
		for _, r := range j.Rooms {
			w := asks[walled](p, "/rooms/"+r.Room.ID+"/record")
			out[w.Name] = w
		}
	}
	return out
}

// visitor is somebody's phone on a visit, who counts what it has to keep.
type visitor struct {
	*phone
	kept int
}

// writes fills in the form of an act on a page that is open, and presses. The fields of a
// name are set to the values given; "*" ticks all. It waits until the act is on the phone.
func (p *visitor) writes(act, at string, fields map[string]string) {
	p.t.Helper()
	p.comesTo(`document.querySelector(".phone") !== null`) // the script has the forms
	set, _ := json.Marshal(fields)
	done := eval[string](p.phone, `(() => {
		const form = [...document.forms].find(f => f.dataset.act === `+strconv.Quote(act)+`
			&& f.getAttribute("action").endsWith(`+strconv.Quote(at)+`));
		if (!form) return "no form";
		for (const [name, value] of Object.entries(`+string(set)+`)) {
			const all = [...form.elements].filter(e => e.name === name);
			if (!all.length) return "no field " + name;
			for (const e of all) {
				if (e.type === "radio" || e.type === "checkbox") { if (e.value === value || value === "*") e.click(); }
				else if (e.type === "file") {
					const bytes = Uint8Array.from(atob(value), c => c.charCodeAt(0)), got = new DataTransfer();
					got.items.add(new File([bytes], "picture.jpg", { type: "image/jpeg" }));
					e.files = got.files;
					e.dispatchEvent(new Event("change", { bubbles: true }));
				} else e.value = value;
			}
		}
		const both = form.querySelector('.again:not([hidden]) input[value="both"]'); // it was measured before
		if (both) both.click();
		form.requestSubmit();
		return "";
	})()`)
	if done != "" {
		p.t.Fatalf("%s on %s: %s", act, p.at(), done)
	}
	p.kept++
	p.comesTo(fmt.Sprintf(`!document.querySelector("[data-busy]") && %s.includes("%d not yet sent.")`, held, p.kept))
}

// held is what the phone says that it holds.
const held = `[...document.querySelectorAll(".phone p")].map(e => e.textContent).join(" ")`

// measures takes offsets of a room's positions from its straight faces, bare, all from the
// first face and then all from the next.
func (p *visitor) measures(r walled, from, to int) {
	p.t.Helper()
	var faces []string
	for _, d := range r.Datums {
		if d.Kind == "face" && d.Surface == r.Positions[0].Surface {
			faces = append(faces, d.ID)
		}
	}
	at := "/rooms/" + r.ID + "/measure"
	p.open(at)
	for i := from; i < to; i++ {
		p.writes("measure", at, map[string]string{"kind": "offset", "position": r.Positions[i%len(r.Positions)].ID,
			"datum": faces[i/len(r.Positions)] + "|bare", "value": strconv.Itoa(700 + 13*i), "by": "tape"})
	}
}

// room returns a room as it is now.
func (p *phone) room(r walled) walled { p.t.Helper(); return asks[walled](p, "/rooms/"+r.ID+"/record") }

// counts are what of a room a visit adds to; each record is there once.
func (r walled) counts() string {
	once := func(all []struct{ ID string }) int {
		ids := map[string]bool{}
		for _, one := range all {
			ids[one.ID] = true
		}
		return len(ids)
	}
	return fmt.Sprintf("%d readings, %d holes, %d photos, %d snags", once(r.Measurements), len(r.Openings), once(r.Photos),
		once(r.Snags))
}

// grown returns a room with so much more in it.
func grown(r walled, readings, holes, photos, snags int) walled {
	more := func(all []struct{ ID string }, n int) (out []struct{ ID string }) {
		out = append(out, all...)
		for i := range n {
			out = append(out, struct{ ID string }{strconv.Itoa(i)})
		}
		return out
	}
	r.Measurements, r.Photos, r.Snags = more(r.Measurements, readings), more(r.Photos, photos), more(r.Snags, snags)
	r.Openings = append(r.Openings[:len(r.Openings):len(r.Openings)], make([]opened, holes)...)
	return r
}

// outcomes are what was written down of a position's holes.
func outcomes(r walled, position string) string {
	var out []string
	for _, o := range r.Openings {
		if o.Position == position {
			out = append(out, o.Outcome)
		}
	}
	return strings.Join(out, ", ")
}

// opens writes down holes as found, from the leaves of the room's holes, and returns their
// positions.
func (p *visitor) opens(r walled, n int) (positions []string) {
	p.t.Helper()
	p.open("/rooms/" + r.ID + "/holes")
	positions = eval[[]string](p.phone,
		`[...document.querySelectorAll("form[data-act=open-hole] [name=position]")].map(e => e.value)`)
	if len(positions) < n {
		p.t.Fatalf("%d holes are listed in %s", len(positions), r.Name)
	}
	for _, q := range positions[:n] {
		p.writes("open-hole", "/positions/"+q+"/outcome", map[string]string{"outcome": "found"})
	}
	return positions[:n]
}

// snags notes some on the room's page of them.
func (p *visitor) snags(r walled, n int) {
	p.t.Helper()
	at := "/rooms/" + r.ID + "/snags"
	p.open(at)
	for i := range n {
		p.writes("snag", at, map[string]string{"what": fmt.Sprintf("Knock %d in the wall", i+1)})
	}
}

// photographs takes a photo on a page of the room, of on, or of what the page has chosen.
func (p *visitor) photographs(r walled, page, on string) {
	p.t.Helper()
	p.open("/rooms/" + r.ID + page)
	fields := map[string]string{"picture": aPicture(p.t), "says": r.Name + " as it is"}
	if on != "" {
		fields["on"] = on
	}
	p.writes("photo", "/rooms/"+r.ID+"/photos", fields)
}

// aPicture returns a small JPEG in base64.
func aPicture(t *testing.T) string {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, 64, 48))
	for i := range img.Pix {
		img.Pix[i] = byte(i * 7)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return base64.StdEncoding.EncodeToString(b.Bytes())
}

// awaitsOn waits until something is so on the server, as a person asks it.
func (p *phone) awaitsOn(what string, so func() bool) {
	p.t.Helper()
	tick := time.NewTicker(50 * time.Millisecond)
	defer tick.Stop()
	for range 600 {
		if so() {
			return
		}
		<-tick.C
	}
	p.t.Fatal(what + " does not come")
}

// A whole visit without signal from the front door to the van: 40 records and 6 photos, a
// browser that is killed halfway, answers that are lost so that the same is sent twice, a
// server that is killed while it takes them, and somebody else who opened the same hole.
func TestOfflineWholeVisit(t *testing.T) {
	data := demoData(t)
	demo := starts(t, data)
	signal, url := newLine(t, "http://"+demo.at)
	folder := t.TempDir()
	ruth := &visitor{phone: newPhoneIn(t, shell(t, folder), url)}
	ruth.open("/sign-in")
	ruth.press("Sign in as Ruth Aldous")
	ruth.takesAlong()
	before := ruth.rooms()
	utility, studio, landing, kitchen, bathroom := before["Utility"], before["Studio"], before["Landing"],
		before["Kitchen"], before["Bathroom"]

	ruth.without(signal)
	ruth.measures(utility, 0, 17)
	ruth.photographs(utility, "/sign-offs/first-fix", "")
	ruth.measures(studio, 0, 3)

	// The battery is flat. The phone starts again, still without signal.
	cookies := ruth.dies()
	ruth.phone = newPhoneIn(t, shell(t, folder), url)
	ruth.remembers(cookies)
	ruth.without(signal)
	ruth.open("/visits")
	ruth.awaitsWords("21 not yet sent")

	ruth.measures(studio, 3, 11)
	ruth.photographs(studio, "/sign-offs/first-fix", "")
	opened := ruth.opens(landing, 4)
	ruth.photographs(landing, "/sign-offs/second-fix", "")
	ruth.opens(kitchen, 3)
	ruth.photographs(kitchen, "/sign-offs/second-fix", "")
	ruth.open("/rooms/" + bathroom.ID + "/tails")
	ruth.writes("see-tails", "/tails", map[string]string{"seen": "*"})
	ruth.photographs(bathroom, "/tails", "surface/"+bathroom.Surfaces[0].ID)
	ruth.snags(kitchen, 3)
	ruth.photographs(before["Store"], "/sign-offs/first-fix", "")
	ruth.open("/rooms/" + utility.ID + "/sign-offs/first-fix")
	ruth.writes("offer", "/offer", map[string]string{})
	if ruth.kept != 46 {
		t.Fatalf("%d wait at the end of the visit", ruth.kept)
	}

	// Meanwhile Ola, who has signal, opens one of the landing's holes.
	ola := newPhone(t, chromium(t), "http://"+demo.at)
	ola.open("/sign-in")
	ola.press("Sign in as Ola Brandt")
	ola.open("/rooms/" + landing.ID + "/positions/" + opened[0] + "/outcome")
	ola.choose("Not found")
	ola.press("Save what you found")

	// In the van the first answers are lost, so that all of it is sent again, and then the
	// server is killed on the way.
	signal.set(false, true)
	ruth.told(false)
	ruth.open("/visits")
	ola.awaitsOn("what is sent", func() bool {
		return len(ola.room(utility).Measurements) == len(utility.Measurements)+
			17
	})
	signal.set(false, false)
	ola.awaitsOn("what is sent next", func() bool { return len(ola.room(studio).Measurements) > len(studio.Measurements) })
	demo.kill()
	demo = starts(t, data)
	signal.leadsTo(demo.at)
	ruth.open("/visits")
	ruth.comesTo(held + `.includes("1 choice to make.") && !` + held + `.includes("not yet sent.")`)

	after := ruth.rooms()
	for name, want := range map[string]walled{
		"Utility": grown(utility, 17, 0, 1, 0), "Studio": grown(studio, 11, 0, 1, 0), "Landing": grown(landing, 0, 4, 1, 0),
		"Kitchen": grown(kitchen, 0, 3, 1, 3), "Bathroom": grown(bathroom, 0, 0, 1, 0), "Store": grown(before["Store"], 0, 0,
			1, 0),
	} {
		if got := after[name].counts(); got != want.counts() {
			t.Errorf("%s holds %s, not %s", name, got, want.counts())
		}
	}
	if got := outcomes(after["Landing"], opened[0]); got != "not_found" {
		t.Errorf("before anybody chose, the hole that two people opened is %q", got)
	}
	if got := after["Utility"].Stages[0].State; got != "offered" {
		t.Errorf("the utility's first fix is %s", got)
	}
	// Ola's hole is the one that is not Ruth's; photos are records of their own.
	if got := demo.asks(t, "select count(*), count(*) filter (where answer = 'kept'), count(*) filter (where answer = "+
		"'both') from act join member m on m.id = member_id where m.name = 'Ruth Aldous'"); got != "40|39|1" {
		t.Errorf("the journal of Ruth's acts says %s", got)
	}

	// Both stand on the phone, and Ruth chooses.
	ruth.open("/visits")
	ruth.awaitsWords("two records: choose")
	ruth.must("button", "Keep mine", "")
	ruth.do(ruth.touch(1))
	ruth.awaitsWords("everything you entered is saved")
	if got := outcomes(ruth.room(landing), opened[0]); got != "found" {
		t.Errorf("after Ruth chose, the hole is %q", got)
	}
	if got := demo.asks(t, "select choice from act where answer = 'both'"); got != "mine" {
		t.Errorf("the journal says that %q was chosen", got)
	}
}
