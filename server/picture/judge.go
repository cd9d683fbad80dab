package picture

import (
	"bytes"
	"encoding/binary"
	"fmt"

	"lathmark/domain/photo"

	"golang.org/x/image/webp"
)

// maxMemory is how many bytes a picture may take while it is decoded: a photo of MaxPixels
// takes 75 million.
const maxMemory = 80_000_000

// shape is what is known of a picture before it is decoded.
type shape struct {
	w, h  int
	bytes int64 // that decoding takes, at most
}

func (s shape) pixels() int64 { return int64(s.w) * int64(s.h) }

// judge finds out what a picture will take. Faults: BadInput.
func judge(k kind, sent []byte) (s shape, err error) {
	if s, err = k.judge(sent); err != nil {
		return s, err
	}
	switch {
	case s.w < 1 || s.h < 1:
		return s, broken(nil)
	case s.pixels() > MaxPixels:
		return s, bad(fmt.Sprintf("the picture has %d million pixels, and %d million are the most", s.pixels()/1_000_000,
			MaxPixels/1_000_000), smaller, nil)
	case s.bytes > maxMemory:
		return s, bad(fmt.Sprintf("a picture of this kind with %d by %d pixels is too large to open", s.w, s.h),
			"Send it as an ordinary JPEG, with at most 12 million pixels", nil)
	}
	w, h := photo.Full.Fit(s.w, s.h)
	s.bytes += 4 * int64(w) * int64(h)
	return s, nil
}

// judgePNG judges a PNG by its header (PNG, third edition, 11.2.1). An interlaced one is
// put together from seven.
func judgePNG(sent []byte) (s shape, err error) {
	if len(sent) < 29 || string(sent[12:16]) != "IHDR" {
		return s, broken(nil)
	}
	wide, high := binary.BigEndian.Uint32(sent[16:]), binary.BigEndian.Uint32(sent[20:])
	if wide|high > 1<<30 {
		return s, broken(nil)
	}
	const palette = 3
	depth, colour, interlaced := sent[24], sent[25], sent[28] != 0
	s = shape{w: int(wide), h: int(high)}
	s.bytes = s.pixels()
	switch {
	case depth == 16:
		s.bytes *= 8
	case colour != palette:
		s.bytes *= 4
	}
	if interlaced {
		s.bytes *= 2
	}
	return s, nil
}

// judgeWebP judges a WebP (RFC 9649). Without loss, or with what shines through, it has up
// to 2,600 sets of codes, which the decoder unfolds: each takes up to 53 kB, and up to 256
// times what it takes in the file.
func judgeWebP(sent []byte) (s shape, err error) {
	if len(sent) < 16 || int64(binary.LittleEndian.Uint32(sent[4:])) > int64(len(sent)-8) {
		return s, broken(nil)
	}
	size, err := webp.DecodeConfig(bytes.NewReader(sent))
	if err != nil {
		return s, broken(err)
	}
	s = shape{w: size.Width, h: size.Height}
	if string(sent[12:16]) == "VP8 " {
		s.bytes = 2 * s.pixels()
		return s, nil
	}
	s.bytes = 10*s.pixels() + min(2600*53_000, 256*int64(len(sent)))
	return s, nil
}
