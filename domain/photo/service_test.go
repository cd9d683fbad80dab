package photo_test

import (
	"context"
	"crypto/sha256"
	"errors"
	"strings"
	"testing"
	"time"

	"golang.org/x/sync/errgroup"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

// developed returns a picture as the service sees one: bytes in three sizes.
func developed(text string) *photo.Developed {
	d := &photo.Developed{Data: map[photo.Size][]byte{}}
	for _, size := range photo.Sizes {
		d.Data[size] = []byte(text + " " + string(size))
	}
	full := d.Data[photo.Full]
	d.Picture = room.Picture{SHA256: sha256.Sum256(full), Type: "image/jpeg", Width: 2560, Height: 1920,
		Bytes: int64(len(full))}
	return d
}

func noPhotoOf(j *standing.Standing) bool {
	for _, o := range j.Obstacles(words.Boarding) {
		if o.Code == "no_photo" {
			return true
		}
	}
	return false
}

// A photo of the surface, of one of its faces or of one of its positions lifts
// the obstacle; one that is struck out, or of the stage as a whole, does not.
func TestWhatCountsAsAPhotoOfTheOpenSurface(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	for name, c := range map[string]struct {
		draft func(*room.Record) photo.Draft
		lifts bool
	}{
		"surface": {func(r *room.Record) photo.Draft {
			return photo.Draft{TakePhoto: deed.TakePhoto{Surface: r.Surfaces[0].ID}}
		}, true},
		"face": {func(r *room.Record) photo.Draft { return photo.Draft{TakePhoto: deed.TakePhoto{Datum: r.Datums[0].ID}} },
			true},
		"position": {func(r *room.Record) photo.Draft {
			return photo.Draft{TakePhoto: deed.TakePhoto{Position: r.Positions[0].ID}}
		}, true},
		"stage": {func(*room.Record) photo.Draft {
			first := words.FirstFix
			return photo.Draft{TakePhoto: deed.TakePhoto{OfStage: &first}}
		}, false},
	} {
		r := s.Utility(t, "D1")
		d := c.draft(r.Record)
		d.ID, d.Picture = id.New[id.Photo](), developed(name)
		j, err := s.Photo.Take(ctx, s.Electrician, r.Record.ID, d)
		if err != nil || noPhotoOf(j) == c.lifts {
			t.Errorf("of the %s: it is missing: %v, %v", name, noPhotoOf(j), err)
		}
		if j, err = s.Desk.Do(ctx, s.Foreman, r.Record.ID, deed.StrikePhoto{Photo: d.ID, Why: "blurred"}); err != nil ||
			!noPhotoOf(j) {
			t.Errorf("of the %s, struck out: %v", name, err)
		}
		if _, err := s.Desk.Do(ctx, s.Foreman, r.Record.ID,
			deed.StrikePhoto{Photo: d.ID, Why: "blurred, once more"}); err != nil {
			t.Errorf("struck out twice: %v", err)
		}
		if p, _ := j.Record.Photo(d.ID); p.StruckWhy != "blurred" || p.StruckBy != s.Foreman.ID {
			t.Errorf("%+v", p)
		}
	}
}

// Who, when, what and the picture are on record, a repeat adds nothing, and a
// time from a phone's wrong clock becomes the nearest possible one.
func TestTakeOnce(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	of, began := r.Record.ID, r.Record.CreatedAt
	s.Clock.Pass(3 * time.Hour)
	for _, c := range []struct{ at, want time.Time }{{began.Add(time.Hour), began.Add(time.Hour)},
		{began.AddDate(-1, 0, 0), began}, {began.AddDate(9, 0, 0), time.Time{}}, {time.Time{}, time.Time{}}} {
		d := photo.Draft{TakePhoto: deed.TakePhoto{ID: id.New[id.Photo](), Position: r.Record.Positions[0].ID,
			Says: " behind J2 ", At: c.at}, Picture: developed(c.at.String())}
		var j *standing.Standing
		for range 2 {
			var err error
			if j, err = s.Photo.Take(ctx, s.Electrician, of, d); err != nil {
				t.Fatal(err)
			}
		}
		p, err := j.Record.Photo(d.ID)
		if err != nil || p.By != s.Electrician.ID || p.Says != "behind J2" || p.Stage != words.FirstFix ||
			p.Picture != d.Picture.Picture {
			t.Fatalf("%+v, %v", p, err)
		}
		if c.want.IsZero() {
			c.want = p.RecordedAt
		}
		if !p.At.Equal(c.want) {
			t.Errorf("taken at %v by the phone: %v, want %v", c.at, p.At, c.want)
		}
		d.Position, d.Surface = id.Position{}, r.Record.Surfaces[0].ID
		if _, err := s.Photo.Take(ctx, s.Electrician, of, d); fault.KindOf(err) != fault.Conflict {
			t.Errorf("another photo under the same id: %v", err)
		}
	}
	if j, err := s.Desk.Read(ctx, s.Foreman, of); err != nil || len(j.Record.Photos) != 4 {
		t.Errorf("%d photos, %v", len(j.Record.Photos), err)
	}
}

func TestTakeRefuses(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r, other := s.Utility(t, "D1"), s.Utility(t, "D1")
	surface, plaster := r.Record.Surfaces[0].ID, words.Plaster
	for name, c := range map[string]struct {
		d    photo.Draft
		kind fault.Kind
	}{
		"of nothing": {photo.Draft{}, fault.BadInput},
		"of two things": {photo.Draft{TakePhoto: deed.TakePhoto{Surface: surface, Datum: r.Record.Datums[0].ID}},
			fault.BadInput},
		"too many words": {photo.Draft{TakePhoto: deed.TakePhoto{Surface: surface, Says: strings.Repeat("ü", 401)}},
			fault.BadInput},
		"of another room":  {photo.Draft{TakePhoto: deed.TakePhoto{Surface: other.Record.Surfaces[0].ID}}, fault.NotFound},
		"a stage to come":  {photo.Draft{TakePhoto: deed.TakePhoto{OfStage: &plaster}}, fault.Obstacle},
		"enough words fit": {photo.Draft{TakePhoto: deed.TakePhoto{Surface: surface, Says: strings.Repeat("ü", 400)}}, ""},
	} {
		c.d.Picture = developed(name)
		_, err := s.Photo.Take(ctx, s.Foreman, r.Record.ID, c.d)
		if fault.KindOf(err) != c.kind || c.kind == "" && err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := s.Desk.Do(ctx, s.Foreman, r.Record.ID, deed.StrikePhoto{Photo: id.New[id.Photo](),
		Why: "x"}); fault.KindOf(err) != fault.NotFound {
		t.Errorf("striking out what is not there: %v", err)
	}
}

// A photo is frozen with its own stage, while later stages take new ones.
func TestFrozenWithItsStage(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	of := r.Record.ID
	early, late, first := id.New[id.Photo](), id.New[id.Photo](), words.FirstFix
	take := func(d photo.Draft) error { _, err := s.Photo.Take(ctx, s.Foreman, of, d); return err }
	if err := take(photo.Draft{TakePhoto: deed.TakePhoto{ID: early, Surface: r.Record.Surfaces[0].ID}}); err != nil {
		t.Fatal(err)
	}
	s.SignFirstFix(t, r)
	if err := take(photo.Draft{TakePhoto: deed.TakePhoto{ID: late, Surface: r.Record.Surfaces[0].ID}}); err != nil {
		t.Errorf("at boarding: %v", err)
	}
	if err := take(photo.Draft{TakePhoto: deed.TakePhoto{OfStage: &first}}); fault.KindOf(err) != fault.Obstacle {
		t.Errorf("of the signed stage: %v", err)
	}
	if _, err := s.Desk.Do(ctx, s.Foreman, of, deed.StrikePhoto{Photo: early, Why: "blurred"}); fault.KindOf(
		err) != fault.Obstacle {
		t.Errorf("striking out what is signed: %v", err)
	}
	if _, err := s.Desk.Do(ctx, s.Foreman, of,
		deed.StrikePhoto{Photo: late, Why: " "}); fault.KindOf(err) != fault.BadInput {
		t.Errorf("without a reason: %v", err)
	}
	if _, err := s.Desk.Do(ctx, s.Foreman, of, deed.StrikePhoto{Photo: late, Why: "blurred"}); err != nil {
		t.Error(err)
	}
	err := s.DB.WithTx(ctx, s.Foreman, func(tx *persistence.Tx) error { // bypassing the service
		return tx.StrikePhoto(ctx, room.Photo{ID: early, StruckAt: s.Clock.Now(), StruckWhy: "blurred"})
	})
	if fault.KindOf(err) != fault.Obstacle {
		t.Errorf("the database let a signed photo be struck out: %v", err)
	}
}

// The pictures are for the people on site of the firm.
func TestWhoMaySee(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	client, stranger := s.Add(t, "Wim Haas", firm.Client, ""), s.Found(t, "Marl & Sons")
	r := s.Utility(t, "D1")
	with, note := id.New[id.Photo](), id.New[id.Photo]()
	for which, picture := range map[id.Photo]*photo.Developed{with: developed("x"), note: nil} {
		if _, err := s.Photo.Take(ctx, s.Foreman, r.Record.ID,
			photo.Draft{TakePhoto: deed.TakePhoto{ID: which, Surface: r.Record.Surfaces[0].ID}, Picture: picture}); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		by   firm.Person
		of   id.Photo
		kind fault.Kind
	}{{s.Owner, with, ""}, {s.Plumber, with, ""}, {client, with, fault.Refused}, {stranger, with, fault.NotFound},
		{s.Foreman, note, fault.NotFound}, {s.Foreman, id.New[id.Photo](), fault.NotFound}} {
		known, err := s.Photo.Find(ctx, c.by, c.of)
		if fault.KindOf(err) != c.kind || c.kind == "" && err != nil {
			t.Errorf("%s: %v", c.by.Name, err)
		}
		if err != nil {
			continue
		}
		for _, size := range photo.Sizes {
			if data, err := s.Photo.Open(ctx, c.by, known, size); err != nil || string(data) != "x "+string(size) {
				t.Errorf("%s: %q, %v", size, data, err)
			}
		}
	}
}

// A sweep removes what is old and named by no photo, and nothing else.
func TestSweep(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	if _, err := s.Photo.Take(ctx, s.Foreman, r.Record.ID,
		photo.Draft{TakePhoto: deed.TakePhoto{Surface: r.Record.Surfaces[0].ID}, Picture: developed("kept")}); err != nil {
		t.Fatal(err)
	}
	orphan := developed("orphan")
	for _, size := range photo.Sizes {
		if err := s.DB.Pictures.Put(ctx, photo.Key{Firm: s.Owner.Firm, Sum: orphan.SHA256, Size: size},
			orphan.Data[size]); err != nil {
			t.Fatal(err)
		}
	}
	if out, err := s.Photo.Sweep(ctx, time.Now().Add(-photo.SweepAge)); err != nil || out != (photo.Swept{Kept: 6}) {
		t.Errorf("young ones: %+v, %v", out, err)
	}
	if out, err := s.Photo.Sweep(ctx, time.Now().Add(time.Minute)); err != nil ||
		out != (photo.Swept{Kept: 3, Removed: 3}) {
		t.Errorf("%+v, %v", out, err)
	}
	if there, err := s.DB.Pictures.Has(ctx, photo.Key{Firm: s.Owner.Firm, Sum: orphan.SHA256, Size: photo.Full}); there ||
		err != nil {
		t.Errorf("%v, %v", there, err)
	}
}

// However photos are taken and struck out while sweeps run that think every
// picture old, no photo on record is without its picture.
func TestNeverARowWithoutItsPicture(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	var all errgroup.Group
	taken, done := make(chan struct{}, 100), make(chan struct{})
	for range 4 {
		all.Go(func() error {
			for i := range 8 {
				d := photo.Draft{TakePhoto: deed.TakePhoto{Surface: r.Record.Surfaces[0].ID},
					Picture: developed(strings.Repeat("same", i))}
				if _, err := s.Photo.Take(ctx, s.Foreman, r.Record.ID, d); err != nil {
					return err
				}
				taken <- struct{}{}
			}
			return nil
		})
	}
	sweeps := 0
	swept := make(chan error, 1)
	go func() {
		for {
			select {
			case <-done:
				swept <- nil
				return
			case <-taken: // do not spin
			}
			if _, err := s.Photo.Sweep(ctx, time.Now().Add(time.Hour)); err != nil {
				swept <- err
				return
			}
			sweeps++
		}
	}()
	err := all.Wait()
	close(done)
	if err := errors.Join(err, <-swept); err != nil {
		t.Fatal(err)
	}
	j, err := s.Desk.Read(ctx, s.Foreman, r.Record.ID)
	if err != nil || len(j.Record.Photos) != 32 || sweeps == 0 {
		t.Fatalf("%d photos, %d sweeps, %v", len(j.Record.Photos), sweeps, err)
	}
	for _, p := range j.Record.Photos {
		for _, size := range photo.Sizes {
			if _, err := s.Photo.Open(ctx, s.Foreman, p.Picture, size); err != nil {
				t.Errorf("%s of %s: %v", size, p.ID, err)
			}
		}
	}
}

// forgetful is a store that loses what was put there just before the row.
type forgetful struct {
	photo.Store
	lost bool
}

func (f *forgetful) Has(ctx context.Context, key photo.Key) (bool, error) {
	if !f.lost {
		f.lost = true
		if err := f.Delete(ctx, key); err != nil {
			return false, err
		}
	}
	return f.Store.Has(ctx, key)
}

// What a sweep removed between storing the picture and writing the row is
// stored again.
func TestStoredAgain(t *testing.T) {
	s := dbtest.New(t)
	store := &forgetful{Store: s.DB.Pictures}
	s.DB.Pictures = store
	all := persistence.NewServices(s.DB, s.Clock.Now)
	r, d := s.Utility(t, "D1"), developed("x")
	if _, err := all.Photo.Take(t.Context(), s.Foreman, r.Record.ID,
		photo.Draft{TakePhoto: deed.TakePhoto{Surface: r.Record.Surfaces[0].ID}, Picture: d}); err != nil || !store.lost {
		t.Fatal(err)
	}
	if _, err := all.Photo.Open(t.Context(), s.Foreman, d.Picture, photo.Full); err != nil {
		t.Error(err)
	}
}
