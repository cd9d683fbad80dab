package main

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"slices"
	"testing"

	"lathmark/domain/photo"
	"lathmark/domain/room"

	"github.com/chromedp/chromedp"
)

// fromACamera returns a photo as a phone's camera writes it when it is held upright:
// lying on its side, 3000 by 2000 px, with EXIF that says so (orientation 6: row
// 0 is the right side, column 0 the top) and where it was taken. The tags are
// those of Exif 2.3, JEITA CP-3451C: 0x0112 and 0x8825. Upright it is red on top
// and blue below.
func fromACamera(t *testing.T) []byte {
	t.Helper()
	raw := image.NewRGBA(image.Rect(0, 0, 3000, 2000))
	for y := range 2000 {
		for x := range 3000 { // a column, from the top on
			if raw.SetRGBA(x, y, color.RGBA{255, 0, 0, 255}); x >= 1500 {
				raw.SetRGBA(x, y, color.RGBA{0, 0, 255, 255})
			}
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, raw, nil); err != nil {
		t.Fatal(err)
	}
	exif := []byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08" + "\x00\x02" +
		"\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00" + "\x88\x25\x00\x04\x00\x00\x00\x01\x00\x00\x00\x26" +
		"\x00\x00\x00\x00" +
		"\x00\x01" + "\x00\x01\x00\x02\x00\x00\x00\x02N\x00\x00\x00" + "\x00\x00\x00\x00" + "52.1234 north")
	size := binary.BigEndian.AppendUint16(nil, uint16(len(exif)+2))
	return slices.Concat(b.Bytes()[:2], []byte{0xff, 0xe1}, size, exif, b.Bytes()[2:])
}

// chooses puts a photo into the page's form, as the camera would.
func (p *phone) chooses(file []byte) {
	p.t.Helper()
	p.taps += 3 // the field, the shutter, "use it"
	eval[bool](p, fmt.Sprintf(`(() => {
		const bytes = Uint8Array.from(atob(%q), c => c.charCodeAt(0)), chosen = new DataTransfer();
		chosen.items.add(new File([bytes], "IMG_0001.jpg", {type: "image/jpeg"}));
		document.querySelector("[name=picture]").files = chosen.files;
		return true })()`, base64.StdEncoding.EncodeToString(file)))
}

// A photo is taken in the form of a page. With script it is made smaller on the
// phone, without script it goes as it is; either way what is stored is upright
// and has nothing of the camera's in it.
func TestAPhotoFromTheCamera(t *testing.T) {
	b := build(t)
	r := b.Utility(t, "D1")
	at, file := "/rooms/"+r.Record.ID.String()+"/photos", fromACamera(t)
	p := b.as(t, b.Electrician)
	for _, c := range []struct {
		name       string
		send       func()
		wide, high int // px of the full size
	}{
		{"with script", func() { p.press("Save the photo") }, 1365, 2048},
		{"without script", func() {
			p.turns(chromedp.Evaluate[chromedp.Void](
				`HTMLFormElement.prototype.submit.call(document.querySelector("form.photo"))`))
		}, 1707, 2560},
	} {
		p.open(at)
		eval[bool](p, `document.querySelector("[name=on]").selectedIndex = 2, true`)
		p.fill("In a few words", "taken "+c.name, "")
		p.chooses(file)
		c.send()
		p.sees("taken " + c.name)
		j, err := b.Desk.Read(t.Context(), b.Electrician, r.Record.ID)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(j.Record.Photos, func(one room.Photo) bool { return one.Says == "taken "+c.name })
		if i < 0 {
			t.Fatalf("%s: not on record: %+v", c.name, j.Record.Photos)
		}
		full, err := b.Photo.Open(t.Context(), b.Electrician, j.Record.Photos[i].Picture, photo.Full)
		if err != nil {
			t.Fatal(err)
		}
		got, err := jpeg.Decode(bytes.NewReader(full))
		if err != nil {
			t.Fatal(err)
		}
		if size := got.Bounds().Size(); size.X != c.wide || size.Y != c.high {
			t.Errorf("%s: %v px, want %d by %d", c.name, size, c.wide, c.high)
		}
		top, _, _, _ := got.At(c.wide/2, 20).RGBA()
		_, _, below, _ := got.At(c.wide/2, c.high-20).RGBA()
		if top < 0xe000 || below < 0xe000 {
			t.Errorf("%s: it is not upright: %v on top, %v below", c.name, got.At(c.wide/2, 20), got.At(c.wide/2, c.high-20))
		}
		if bytes.Contains(full, []byte("Exif")) || bytes.Contains(full, []byte("52.1234")) {
			t.Errorf("%s: the camera's words are still in it", c.name)
		}
	}
	// Both stand on the page, drawn.
	p.open(at)
	p.awaits(`[...document.querySelectorAll(".photos img")].length === 2`)
	eval[bool](p, `document.querySelectorAll(".photos img").forEach(i => {
		i.loading = "eager";
		i.onload = () => i.dataset.drawn = "yes";
		if (i.complete) i.onload();
	}), true`)
	p.awaits(`[...document.querySelectorAll(".photos img")].every(i => i.dataset.drawn && i.naturalHeight === 320)`)
}
