// Package picturetest makes pictures that cost more than they look.
package picturetest

import (
	"bytes"
	"encoding/binary"
	"slices"
)

// Layered returns a grey JPEG of w by h px, in as many planes, that goes over the picture
// again and again: each time costs the decoder a visit to every block and the file next to
// nothing (ITU-T T.81, B.2.2 to B.2.4; G.1.2.2 for runs of blocks that end).
func Layered(w, h, planes int, progressive bool, scans int) []byte {
	segment := func(marker byte, body ...byte) []byte {
		return slices.Concat([]byte{0xff, marker}, binary.BigEndian.AppendUint16(nil, uint16(len(body)+2)), body)
	}
	// One code of one bit each: 0 is "as before", or a run of 16384 blocks that end.
	table := func(class, symbol byte) []byte { return append([]byte{class, 1}, append(make([]byte, 15), symbol)...) }
	blocks := (w + 7) / 8 * ((h + 7) / 8)
	out := slices.Concat([]byte{0xff, 0xd8}, segment(0xdb, append([]byte{0}, bytes.Repeat([]byte{1}, 64)...)...))
	frame := []byte{8, byte(h >> 8), byte(h), byte(w >> 8), byte(w), byte(planes)}
	scan := []byte{byte(planes)}
	for id := range byte(planes) {
		frame, scan = append(frame, id+1, 0x11, 0), append(scan, id+1, 0)
	}
	sof, last, end := byte(0xc2), byte(0), byte(0xe0)
	if !progressive {
		sof, last, end = 0xc0, 63, 0
	}
	out = slices.Concat(out, segment(sof, frame...), segment(0xc4, table(0, 0)...), segment(0xc4, table(0x10, end)...))
	bits := blocks * planes
	if !progressive {
		bits *= 2
	}
	whole := slices.Concat(segment(0xda, append(scan, 0, last, 0)...), make([]byte, (bits+7)/8))
	runs := make([]byte, ((blocks/16384+1)*15+7)/8)
	for n := range scans {
		if n == 0 || !progressive {
			out = append(out, whole...)
			continue
		}
		out = slices.Concat(out, segment(0xda, 1, 1, 0, 1, 63, 0), runs)
	}
	return append(out, 0xff, 0xd9)
}
