package server_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/server/page/kit"
	"lathmark/server/picture"
	"lathmark/web"
)

// developed returns a picture of w by h px, brighter to the right.
func developed(t testing.TB, w, h int) *photo.Developed {
	t.Helper()
	made, err := picture.Make(ramp(w, h), 1)
	if err != nil {
		t.Fatal(err)
	}
	return made
}

func ramp(w, h int) image.Image {
	out := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			out.SetGray(x, y, color.Gray{uint8(255 * x / w)})
		}
	}
	return out
}

func asJPEG(t testing.TB, raw image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, raw, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// uploads returns a form with a picture, as a browser sends it.
func (v visitor) uploads(path, accept string, sent []byte, pairs ...string) *http.Request {
	v.t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for name, values := range fields(pairs...) {
		if err := w.WriteField(name, values[0]); err != nil {
			v.t.Fatal(err)
		}
	}
	part, err := w.CreateFormFile("picture", "IMG_0001.jpg")
	if err == nil {
		_, err = part.Write(sent)
	}
	if err := errors.Join(err, w.Close()); err != nil {
		v.t.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, path, &b)
	r.Header.Set("Content-Type", w.FormDataContentType())
	r.Header.Set("Accept", accept)
	r.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
	return r
}

func (v visitor) sends(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	v.w.ServeHTTP(w, r)
	return w
}

// answers is what a phone gets for a photo.
func (v visitor) answers(r *http.Request) (a kit.Answer) {
	v.t.Helper()
	w := v.sends(r)
	if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil || w.Code != http.StatusOK {
		v.t.Fatalf("%d: %s", w.Code, w.Body)
	}
	return a
}

// A photo taken with a page's form appears in its row and is served in its
// sizes; pressed twice it is one; and it is struck out with a reason.
func TestAPhotoTakenWithoutScript(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Electrician)
	at := s.path(t, "/rooms/:room/photos")
	form := []string{"token", id.New[id.Photo]().String(), "on", "position/" + s.ids["position"], "says", "left of <J2>"}
	for range 2 {
		if r := v.sends(v.uploads(at, "text/html", asJPEG(t, ramp(800, 600)), form...)); r.Code != http.StatusSeeOther ||
			r.Header().Get("Location") != at+"?done=photo" {
			t.Fatalf("%d to %s: %s", r.Code, r.Header().Get("Location"), textOf(r.Body.String()))
		}
	}
	photos := w.read(t, s.ids["room"]).Record.Photos
	if len(photos) != 2 { // the subject has one already
		t.Fatalf("%d photos", len(photos))
	}
	of := photos[0]
	if of.Position.IsZero() {
		of = photos[1]
	}
	has(t, v.get(at), "left of &lt;J2&gt;", `src="/photos/`+of.ID.String()+`/thumb"`,
		`alt="Photo of D1: left of &lt;J2&gt;" width="320" height="240"`)
	has(t, v.get("/rooms/"+s.ids["room"]), "/photos/"+of.ID.String()+"/page")
	for size, wide := range map[string]int{"full": 800, "page": 800, "thumb": 320} {
		r := v.do(http.MethodGet, web.Picture(of.ID.String(), size), nil)
		got, err := jpeg.DecodeConfig(strings.NewReader(r.body))
		if err != nil || got.Width != wide {
			t.Errorf("%s: %+v, %v", size, got, err)
		}
		for name, want := range map[string]string{"Content-Type": "image/jpeg", "X-Content-Type-Options": "nosniff",
			"Content-Security-Policy": web.PictureSecurityPolicy,
			"Cache-Control":           "private, no-cache", "Cross-Origin-Resource-Policy": "same-origin"} {
			if r.Header.Get(name) != want {
				t.Errorf("%s: %s is %q, want %q", size, name, r.Header.Get(name), want)
			}
		}
		again := httptest.NewRequest(http.MethodGet, web.Picture(of.ID.String(), size), nil)
		again.Header.Set("If-None-Match", r.Header.Get("ETag"))
		again.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
		if w := v.sends(again); w.Code != http.StatusNotModified || w.Body.Len() > 0 {
			t.Errorf("%s asked for again: %d, %d bytes", size, w.Code, w.Body.Len())
		}
	}
	strike := at + "/" + of.ID.String() + "/strike"
	has(t, v.refused(http.StatusBadRequest, strike, "reason", " "), "there is no reason")
	has(t, v.get(v.post(strike, "reason", "it is D2")), "Struck out:", "it is D2")
}

// The pictures are for the people on site: nobody else learns that there is
// one, not even with the tag of a copy that they once had.
func TestWhoSeesAPicture(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	path := web.Picture(s.ids["photo"], "full")
	seen := w.as(t, w.DryLiner).do(http.MethodGet, path, nil)
	if seen.StatusCode != http.StatusOK {
		t.Fatalf("%d", seen.StatusCode)
	}
	client, stranger := w.Add(t, "Cleo Venn", firm.Client, ""), w.Found(t, "Elsewhere & Sons")
	for who, want := range map[*firm.Person]int{&client: http.StatusForbidden, &stranger: http.StatusNotFound} {
		r := httptest.NewRequest(http.MethodGet, path, nil)
		r.Header.Set("If-None-Match", seen.Header.Get("ETag"))
		v := w.as(t, *who)
		r.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
		if got := v.sends(r); got.Code != want || strings.Contains(got.Header().Get("ETag"), "-full") {
			t.Errorf("%s is answered %d", who.Name, got.Code)
		}
	}
	v := w.as(t, w.Foreman)
	for _, path := range []string{web.Picture(id.New[id.Photo]().String(), "full"), web.Picture("none", "full"),
		web.Picture(s.ids["photo"], "huge")} {
		if r := v.do(http.MethodGet, path, nil); r.StatusCode != http.StatusNotFound {
			t.Errorf("%s answers %d", path, r.StatusCode)
		}
	}
}

// A phone gets one answer for each photo, the same no matter how often it sends
// it.
func TestAPhotoFromAPhone(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Electrician)
	at := s.path(t, "/rooms/:room/photos")
	of, made := id.New[id.Photo]().String(), w.read(t, s.ids["room"]).Record.CreatedAt.Add(time.Second)
	form := []string{"id", of, "member", w.Electrician.ID.String(), "made", made.Format(time.RFC3339), "copy", "3", "on",
		"datum/" + s.ids["datum"]}
	for range 2 {
		a := v.answers(v.uploads(at, "application/json", asJPEG(t, ramp(80, 60)), form...))
		if a.ID != of || a.Answer != "kept" || a.Go != at {
			t.Errorf("%+v", a)
		}
	}
	kept := id.Photo{}
	if err := kept.UnmarshalText([]byte(of)); err != nil {
		t.Fatal(err)
	}
	if p, err := w.read(t, s.ids["room"]).Record.Photo(kept); err != nil || !p.At.Equal(made.Truncate(time.Second)) ||
		p.By != w.Electrician.ID {
		t.Errorf("%+v, %v", p, err)
	}
	for says, form := range map[string][]string{
		"Set the camera to JPEG": {"on", "datum/" + s.ids["datum"]},
		"what the photo shows":   {"on", "the wall"},
		"no such surface":        {"on", "surface/" + id.New[id.Surface]().String()},
	} {
		sent := asJPEG(t, ramp(8, 6))
		if strings.HasPrefix(says, "Set") {
			sent = []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic")
		}
		a := v.answers(v.uploads(at, "application/json", sent, append(form, "id", id.New[id.Photo]().String())...))
		if a.Answer != "refused" || !strings.Contains(a.Says, says) {
			t.Errorf("%+v, want %q", a, says)
		}
	}
	// Somebody else has signed in on this phone.
	other := w.as(t, w.Plumber)
	if r := other.sends(other.uploads(at, "application/json", asJPEG(t, ramp(8, 6)),
		form...)); r.Code != http.StatusForbidden {
		t.Errorf("another person's photo is answered %d", r.Code)
	}
	nobody := v.uploads(at, "application/json", asJPEG(t, ramp(8, 6)), form...)
	nobody.Header.Del("Cookie")
	if r := v.sends(nobody); r.Code != http.StatusUnauthorized {
		t.Errorf("nobody is answered %d", r.Code)
	}
}

// endless is a body that never ends, and counts what is read.
type endless struct {
	head io.Reader
	read int64
}

func (e *endless) Read(into []byte) (int, error) {
	n, err := e.head.Read(into)
	if err == io.EOF {
		n, err = len(into), nil
	}
	e.read += int64(n)
	return n, err
}

// A picture over 15 MiB is refused with what to do, one that never ends is cut
// off, whatever length the request states; and what is cut off on its way, or
// is not a form, is refused with that reason.
func TestAPictureThatIsTooBig(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Foreman)
	at, on := s.path(t, "/rooms/:room/photos"), "surface/"+s.ids["surface"]
	big := append(asJPEG(t, ramp(8, 6)), make([]byte, photo.MaxBytes)...)
	r := v.sends(v.uploads(at, "text/html", big, "on", on, "says", "all of it"))
	if r.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("a big picture is answered %d", r.Code)
	}
	has(t, r.Body.String(), "over 15 MB", `value="all of it"`, `value="`+on+`" selected`)
	small := v.uploads(at, "text/html", big, "on", on)
	small.ContentLength = 100
	if r := v.sends(small); r.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("a big picture that says it has 100 bytes is answered %d", r.Code)
	}
	whole := v.uploads(at, "application/json", asJPEG(t, ramp(800, 600)), "on", on)
	body, err := io.ReadAll(whole.Body)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		body io.Reader
		kind string
		want int
	}{
		"never ends": {&endless{head: bytes.NewReader(body[:len(body)-200])}, whole.Header.Get("Content-Type"),
			http.StatusRequestEntityTooLarge},
		"cut off": {bytes.NewReader(body[:len(body)/2]), whole.Header.Get("Content-Type"), http.StatusBadRequest},
		"no form": {bytes.NewReader(body), "image/jpeg", http.StatusBadRequest},
		"long in words": {strings.NewReader("--b\r\nContent-Disposition: form-data; name=\"says\"\r\n\r\n" +
			strings.Repeat("x", 70<<10) + "\r\n--b--\r\n"), "multipart/form-data; boundary=b", http.StatusBadRequest},
	} {
		r := httptest.NewRequest(http.MethodPost, at, c.body)
		r.Header.Set("Content-Type", c.kind)
		r.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
		if got := v.sends(r); got.Code != c.want {
			t.Errorf("%s: answered %d, want %d: %s", name, got.Code, c.want, textOf(got.Body.String()))
		}
		if e, is := c.body.(*endless); is && e.read > 5*photo.MaxBytes {
			t.Errorf("%d bytes were read of a body that never ends", e.read)
		}
	}
	if n := len(w.read(t, s.ids["room"]).Record.Photos); n != 1 {
		t.Errorf("%d photos", n)
	}
}
