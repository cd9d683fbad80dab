package picture_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/photo"
	"lathmark/server/picture"
	"lathmark/server/picture/picturetest"
	"lathmark/server/turn"
)

func developer(now func() time.Time) *picture.Developer {
	return &picture.Developer{Turns: turn.New(now)}
}

func develop(t *testing.T, sent []byte) *photo.Developed {
	t.Helper()
	made, err := developer(time.Now).Develop(t.Context(), firm.Person{}, sent)
	if err != nil {
		t.Fatal(err)
	}
	return made
}

// upright fails if a JPEG does not show the corners as corners draws them.
func upright(t *testing.T, data []byte, w, h int) {
	t.Helper()
	got, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if size := got.Bounds().Size(); size.X != w || size.Y != h {
		t.Errorf("it is %v px, want %d by %d", size, w, h)
	}
	want := corners(w, h)
	for _, p := range []image.Point{{w / 8, h / 8}, {w - w/8, h / 8}, {w / 8, h - h/8}, {w - w/8, h - h/8}} {
		if a, b := got.At(p.X, p.Y), want.At(p.X, p.Y); !near(a, b) {
			t.Errorf("at %v it is %v, want %v", p, a, b)
		}
	}
}

func near(a, b color.Color) bool {
	far := func(x, y uint32) bool { return max(x, y)-min(x, y) > 0x2000 }
	r, g, bl, _ := a.RGBA()
	r2, g2, bl2, _ := b.RGBA()
	return !far(r, r2) && !far(g, g2) && !far(bl, bl2)
}

// However the camera was held, and whatever file and byte order say so, the
// picture comes out upright, in three sizes, and nothing else remains.
func TestUprightAndNothingBesides(t *testing.T) {
	for orientation := 1; orientation <= 8; orientation++ {
		for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
			meta := exif(order, uint16(orientation))
			stored := asStored(corners(400, 240), orientation)
			for kind, sent := range map[string][]byte{"JPEG": asJPEG(t, stored, meta), "PNG": asPNG(t, stored, meta)} {
				if !bytes.Contains(sent, []byte("52.1234 north")) {
					t.Fatal("the test's file has no place in it")
				}
				made := develop(t, sent)
				upright(t, made.Data[photo.Full], 400, 240)
				upright(t, made.Data[photo.Thumb], 320, 192)
				for size, data := range made.Data {
					if bytes.Contains(data, []byte("Exif")) || bytes.Contains(data, []byte("52.1234")) {
						t.Errorf("%s %s of orientation %d still has EXIF", kind, size, orientation)
					}
				}
			}
		}
	}
}

// A lossless WebP of 1 by 1 px: RIFF, WEBP, VP8L, laid out as in RFC 9649, 2.6
// (the bytes from memory).
const tinyWebP = "UklGRhoAAABXRUJQVlA4TA0AAAAvAAAAEAcQERGIiP4HAA=="

func TestWebPIsTaken(t *testing.T) {
	sent, err := base64.StdEncoding.DecodeString(tinyWebP)
	if err != nil {
		t.Fatal(err)
	}
	made := develop(t, sent)
	if made.Width != 1 || made.Height != 1 {
		t.Errorf("%+v", made.Picture)
	}
}

// The record of a picture matches what is stored, and the same picture gives
// the same bytes.
func TestSizesAndSum(t *testing.T) {
	sent := asJPEG(t, corners(3000, 2000), nil)
	made, again := develop(t, sent), develop(t, sent)
	if made.SHA256 != sha256.Sum256(made.Data[photo.Full]) || made.Bytes != int64(len(made.Data[photo.Full])) ||
		made.SHA256 != again.SHA256 {
		t.Errorf("%+v", made.Picture)
	}
	for size, want := range map[photo.Size]image.Point{photo.Full: {2560, 1707}, photo.Page: {1280, 854},
		photo.Thumb: {320, 214}} {
		got, err := jpeg.DecodeConfig(bytes.NewReader(made.Data[size]))
		if err != nil || got.Width != want.X || got.Height != want.Y {
			t.Errorf("%s is %d by %d, want %v (%v)", size, got.Width, got.Height, want, err)
		}
	}
}

// What is transparent becomes white.
func TestWhiteUnderneath(t *testing.T) {
	made := develop(t, asPNG(t, image.NewNRGBA(image.Rect(0, 0, 40, 30)), nil))
	got, err := jpeg.Decode(bytes.NewReader(made.Data[photo.Full]))
	if err != nil || !near(got.At(20, 15), color.White) {
		t.Errorf("%v, %v", got.At(20, 15), err)
	}
}

// Everything that cannot be stored is refused with what to do, and a picture
// that would fill the memory is refused before it is decoded.
func TestRefusals(t *testing.T) {
	whole := asJPEG(t, corners(400, 300), nil)
	bomb := asPNG(t, corners(4, 4), nil)
	binary.BigEndian.PutUint32(bomb[16:], 60_000) // the header's width and height: PNG, 11.2.2
	binary.BigEndian.PutUint32(bomb[20:], 60_000)
	rehash(bomb)
	heic := append([]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), make([]byte, 64)...)
	for name, c := range map[string]struct {
		sent []byte
		says string
	}{
		"nothing":    {nil, "there is no picture"},
		"HEIC":       {heic, "JPEG"},
		"text":       {[]byte("<svg onload='x'/>"), "no picture of a kind"},
		"GIF":        {[]byte("GIF89a\x01\x00\x01\x00"), "no picture of a kind"},
		"cut off":    {whole[:len(whole)/3], "cut off"},
		"head only":  {whole[:4], "cut off"},
		"a bomb":     {bomb, "3600 million pixels"},
		"too big":    {append(whole, make([]byte, photo.MaxBytes)...), "over 15 MB"},
		"just begun": {[]byte{0xff, 0xd8, 0xff}, "cut off"},
	} {
		_, err := developer(time.Now).Develop(t.Context(), firm.Person{}, c.sent)
		if fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", name, err, c.says)
		}
	}
}

// What would take much is refused by what its head says, before anything is decoded: of a
// picture in many passes, or with deep colours, a few kilobytes say too little of its cost.
func TestWhatWouldTakeMuchIsRefused(t *testing.T) {
	header := func(w, h uint32, depth, colour, interlaced byte) []byte {
		file := asPNG(t, corners(4, 4), nil)
		binary.BigEndian.PutUint32(file[16:], w)
		binary.BigEndian.PutUint32(file[20:], h)
		file[24], file[25], file[28] = depth, colour, interlaced
		rehash(file)
		return file
	}
	claims := []byte("RIFF\xf0\xff\xff\x7fWEBPVP8 \xe0\xff\xff\x7f\x10\x00\x00\x9d\x01\x2a\x10\x00\x10\x00")
	for name, c := range map[string]struct {
		sent []byte
		says string
	}{
		"700 passes":             {picturetest.Layered(7000, 7000, 1, true, 700), "built up in 700 passes"},
		"33 passes":              {picturetest.Layered(64, 64, 1, true, 33), "built up in 33 passes"},
		"drawn over, not layers": {picturetest.Layered(7000, 7000, 1, false, 2), "built up in 2 passes"},
		"progressive":            {picturetest.Layered(5000, 4000, 1, true, 2), "5000 by 4000 pixels is too large"},
		"progressive, colours":   {picturetest.Layered(3000, 2000, 3, true, 2), "3000 by 2000 pixels is too large"},
		"16 bits":                {header(7000, 7000, 16, 2, 0), "7000 by 7000 pixels is too large"},
		"interlaced":             {header(4000, 3000, 8, 6, 1), "4000 by 3000 pixels is too large"},
		"one long line":          {header(1<<31-1, 1, 8, 2, 0), "broken"},
		"a palette":              {header(8000, 7000, 8, 3, 0), "56 million pixels"},
		"claims 2 GB":            {claims, "broken"},
	} {
		_, err := developer(never(t)).Develop(t.Context(), firm.Person{}, c.sent)
		if fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", name, err, c.says)
		}
	}
}

// never is a clock that nobody looks at: no work begins.
func never(t *testing.T) func() time.Time {
	return func() time.Time { t.Error("it is decoded"); return time.Time{} }
}

// What is about a picture costs nothing, however much it is, and does not remain; and those
// kinds that phones and their programs send are taken in the sizes that they come in.
func TestWhatPhonesSendIsTaken(t *testing.T) {
	sent := asJPEG(t, corners(400, 300), nil)
	about := append([]byte{0xff, 0xe2, 0xff, 0xff}, bytes.Repeat([]byte("profile"), 0xffff)[:0xfffd]...)
	if made := develop(t, slices.Concat(sent[:2], bytes.Repeat(about, 200),
		sent[2:])); len(made.Data[photo.Full]) > 20_000 {
		t.Errorf("%d bytes", len(made.Data[photo.Full]))
	}
	for name, sent := range map[string][]byte{
		"12 million pixels": picturetest.Layered(4000, 3000, 3, false, 1), "progressive": picturetest.Layered(2560, 1920, 1,
			true, 12),
		"a trailer": append(sent, asJPEG(t, corners(9, 9), nil)...)} {
		if _, err := developer(time.Now).Develop(t.Context(), firm.Person{}, sent); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A picture ends as soon as whoever sent it has gone, wherever it is, and after its time;
// in line, too. The clock is looked at before each step.
func TestAPictureEndsWithItsSender(t *testing.T) {
	sent := asJPEG(t, corners(600, 400), nil)
	steps := 0
	count := func() time.Time { steps++; return time.Time{} }
	if _, err := developer(count).Develop(t.Context(), firm.Person{}, sent); err != nil {
		t.Fatal(err)
	}
	for all, gone := steps, 0; gone < all; gone += 1 + all/50 {
		ctx, stop := context.WithCancel(t.Context())
		steps = 0
		_, err := developer(func() time.Time {
			if steps++; steps == gone+1 {
				stop()
			}
			return time.Time{}
		}).Develop(ctx, firm.Person{}, sent)
		if stop(); !errors.Is(err, context.Canceled) || steps > gone+4 {
			t.Errorf("gone at step %d of %d: %v at %d", gone, all, err, steps)
		}
	}
	at := time.Unix(0, 0)
	_, err := developer(func() time.Time { at = at.Add(time.Second); return at }).Develop(t.Context(), firm.Person{}, sent)
	if fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), "too long") {
		t.Errorf("after its time: %v", err)
	}
}

// Any input becomes a picture that can be read, or is refused.
func FuzzDevelop(f *testing.F) {
	f.Add(asJPEG(f, corners(16, 12), exif(binary.BigEndian, 6)))
	f.Add(asPNG(f, corners(16, 12), exif(binary.LittleEndian, 3)))
	tiny, _ := base64.StdEncoding.DecodeString(tinyWebP)
	f.Add(tiny)
	d := developer(time.Now)
	f.Fuzz(func(t *testing.T, sent []byte) {
		made, err := d.Develop(context.Background(), firm.Person{}, sent)
		if err != nil {
			if fault.KindOf(err) != fault.BadInput {
				t.Fatal(err)
			}
			return
		}
		for _, size := range photo.Sizes {
			got, err := jpeg.DecodeConfig(bytes.NewReader(made.Data[size]))
			if err != nil || max(got.Width, got.Height) > size.Long() || min(got.Width, got.Height) < 1 {
				t.Fatalf("%s: %+v, %v", size, got, err)
			}
		}
	})
}
