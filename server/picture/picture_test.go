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
	"strings"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/photo"
	"lathmark/server/picture"
)

func develop(t *testing.T, sent []byte) *photo.Developed {
	t.Helper()
	made, err := picture.NewDeveloper().Develop(t.Context(), sent)
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
		_, err := picture.NewDeveloper().Develop(t.Context(), c.sent)
		if fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", name, err, c.says)
		}
	}
}

// Whoever waits for others' pictures and goes away is not kept waiting.
func TestWaitingEnds(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := picture.NewDeveloper().Develop(ctx, asJPEG(t, corners(40, 30), nil))
	if !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

// Any input becomes a picture that can be read, or is refused.
func FuzzDevelop(f *testing.F) {
	f.Add(asJPEG(f, corners(16, 12), exif(binary.BigEndian, 6)))
	f.Add(asPNG(f, corners(16, 12), exif(binary.LittleEndian, 3)))
	tiny, _ := base64.StdEncoding.DecodeString(tinyWebP)
	f.Add(tiny)
	d := picture.NewDeveloper()
	f.Fuzz(func(t *testing.T, sent []byte) {
		made, err := d.Develop(context.Background(), sent)
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
