package picture_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"slices"
	"testing"
)

// exif returns EXIF data as a camera writes it: an orientation (0x0112), and a
// pointer to the place where it was taken (0x8825) with the latitude's
// reference (0x0001). Tags and layout are those of Exif 2.3, JEITA CP-3451C,
// 4.6.
func exif(order binary.ByteOrder, orientation uint16) []byte {
	head := map[binary.ByteOrder]string{binary.LittleEndian: "II", binary.BigEndian: "MM"}[order]
	var b bytes.Buffer
	put := func(values ...any) {
		for _, v := range values {
			_ = binary.Write(&b, order, v) // writing to a buffer never fails
		}
	}
	b.WriteString(head)
	put(uint16(42), uint32(8))
	put(uint16(2))                                                           // entries
	put(uint16(0x0112), uint16(3), uint32(1), orientation, uint16(0))        // a SHORT
	put(uint16(0x8825), uint16(4), uint32(1), uint32(8+2+2*12+4), uint32(0)) // a LONG: where the GPS directory is
	put(uint16(1), uint16(0x0001), uint16(2), uint32(2), []byte("N\x00\x00\x00"), uint32(0))
	b.WriteString("52.1234 north")
	return b.Bytes()
}

// corners draws the picture of every test: red at the top left, green at the
// top right, blue at the bottom left, white at the bottom right; w by h px.
func corners(w, h int) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			out.SetRGBA(x, y, [2][2]color.RGBA{{{255, 0, 0, 255}, {0, 255, 0, 255}},
				{{0, 0, 255, 255}, {255, 255, 255, 255}}}[2*y/h][2*x/w])
		}
	}
	return out
}

// asStored stores a picture so that a viewer has to turn it by orientation: the
// plain way, from the table of Exif 2.3, 4.6.4, which says where row 0 and
// column 0 are.
func asStored(upright *image.RGBA, orientation int) *image.RGBA {
	w, h := upright.Rect.Dx(), upright.Rect.Dy()
	at := map[int]func(row, column int) (x, y int){
		1: func(r, c int) (int, int) { return c, r },                 // top, left
		2: func(r, c int) (int, int) { return w - 1 - c, r },         // top, right
		3: func(r, c int) (int, int) { return w - 1 - c, h - 1 - r }, // bottom, right
		4: func(r, c int) (int, int) { return c, h - 1 - r },         // bottom, left
		5: func(r, c int) (int, int) { return r, c },                 // left, top
		6: func(r, c int) (int, int) { return w - 1 - r, c },         // right, top
		7: func(r, c int) (int, int) { return w - 1 - r, h - 1 - c }, // right, bottom
		8: func(r, c int) (int, int) { return r, h - 1 - c },         // left, bottom
	}[orientation]
	columns, rows := w, h
	if orientation >= 5 {
		columns, rows = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, columns, rows))
	for r := range rows {
		for c := range columns {
			x, y := at(r, c)
			out.Set(c, r, upright.At(x, y))
		}
	}
	return out
}

// asJPEG returns a JPEG with EXIF in an APP1 segment after the first marker (4.7.2).
func asJPEG(t testing.TB, raw image.Image, exif []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, raw, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	if exif == nil {
		return b.Bytes()
	}
	segment := append([]byte("Exif\x00\x00"), exif...)
	size := binary.BigEndian.AppendUint16(nil, uint16(len(segment)+2))
	return slices.Concat(b.Bytes()[:2], []byte{0xff, 0xe1}, size, segment, b.Bytes()[2:])
}

// asPNG returns a PNG with EXIF in a chunk eXIf after the header's (PNG, third
// edition, 5.3 and 11.3.4.5).
func asPNG(t testing.TB, raw image.Image, exif []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, raw); err != nil {
		t.Fatal(err)
	}
	if exif == nil {
		return b.Bytes()
	}
	const header = 8 + 4 + 4 + 13 + 4
	body := append([]byte("eXIf"), exif...)
	chunk := binary.BigEndian.AppendUint32(nil, uint32(len(exif)))
	chunk = binary.BigEndian.AppendUint32(append(chunk, body...), crc32.ChecksumIEEE(body))
	return slices.Concat(b.Bytes()[:header], chunk, b.Bytes()[header:])
}

// rehash corrects the checksum of a PNG's header.
func rehash(file []byte) {
	binary.BigEndian.PutUint32(file[29:], crc32.ChecksumIEEE(file[12:29]))
}
