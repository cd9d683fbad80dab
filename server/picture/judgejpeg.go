package picture

import (
	"bytes"
	"encoding/binary"
	"fmt"
)

// The markers of a JPEG that count here (ITU-T T.81, table B.1), and Adobe's.
const (
	sof0, sof2, dht, jpg, dac, rst0, rst7 = 0xc0, 0xc2, 0xc4, 0xc8, 0xcc, 0xd0, 0xd7
	eoi, sos, app14                       = 0xd9, 0xda, 0xee
)

// maxScans is how often a progressive JPEG may go over the picture. Encoders do it up to
// about a dozen times (from memory); each time costs the same, whatever it brings.
const maxScans = 32

// frame is what a JPEG says of itself.
type frame struct {
	shape
	progressive, rgb bool
	components       []byte // id, sampling and table of each
	scans, planes    int    // the planes of all scans together
}

// judgeJPEG judges a JPEG by its segments, up to its end.
func judgeJPEG(sent []byte) (shape, error) {
	var f frame
	for at := 2; ; {
		marker, segment, next := segmentAt(sent, at)
		switch {
		case next == 0:
			return f.shape, broken(nil)
		case marker == eoi:
			return f.judged()
		case marker == app14 && bytes.HasPrefix(segment, []byte("Adobe")) && len(segment) > 11:
			f.rgb = segment[11] == 0
		case marker == sos && len(segment) > 0:
			f.scans, f.planes = f.scans+1, f.planes+int(segment[0])
		case marker >= sof0 && marker < rst0 && marker != dht && marker != jpg && marker != dac:
			if len(segment) < 9 || f.components != nil || len(segment) != 6+3*int(segment[5]) {
				return f.shape, broken(nil)
			}
			f.progressive, f.components = marker == sof2, segment[6:]
			f.h, f.w = int(binary.BigEndian.Uint16(segment[1:])), int(binary.BigEndian.Uint16(segment[3:]))
		}
		at = next
	}
}

// segmentAt returns the next segment, and where it ends; 0 where the file ends before.
// What is no segment, such as the picture's own bits, is passed over (B.1.1).
func segmentAt(file []byte, at int) (marker byte, segment []byte, next int) {
	for {
		skip := bytes.IndexByte(file[at:], 0xff)
		if skip < 0 {
			return 0, nil, 0
		}
		at += skip
		for at < len(file) && file[at] == 0xff {
			at++
		}
		if at >= len(file) {
			return 0, nil, 0
		}
		marker, at = file[at], at+1
		switch {
		case marker == 0 || marker >= rst0 && marker <= rst7:
			continue
		case marker == eoi:
			return marker, nil, at
		case at+2 > len(file):
			return 0, nil, 0
		}
		next = at + int(binary.BigEndian.Uint16(file[at:]))
		if next < at+2 || next > len(file) {
			return 0, nil, 0
		}
		return marker, file[at+2 : next], next
	}
}

// judged returns what a JPEG takes. A progressive one is kept as numbers of four bytes until
// all of it is there; one that is not YCbCr is written again in its own colours.
func (f *frame) judged() (shape, error) {
	n := len(f.components) / 3
	if n == 0 {
		return f.shape, broken(nil)
	}
	if f.progressive && f.scans > maxScans || !f.progressive && f.planes > n {
		return f.shape, bad(fmt.Sprintf("the picture is built up in %d passes, and that takes too long", f.scans),
			"Send it as an ordinary JPEG", nil)
	}
	samples := 0
	var ids string
	for i := 0; i < len(f.components); i += 3 {
		h, v := int(f.components[i+1]>>4), int(f.components[i+1]&15)
		if h < 1 || v < 1 {
			return f.shape, broken(nil)
		}
		samples += h * v
		ids += string(rune(f.components[i]))
	}
	wide, high := int(f.components[1]>>4), int(f.components[1]&15)
	if n == 1 {
		samples, wide, high = 1, 1, 1
	}
	blocks := ((f.w + 8*wide - 1) / (8 * wide)) * ((f.h + 8*high - 1) / (8 * high)) * samples
	f.bytes = 64 * int64(blocks)
	if f.progressive {
		f.bytes *= 5
	}
	switch {
	case n == 4:
		f.bytes += 8 * f.pixels()
	case n == 3 && (f.rgb || ids == "RGB"):
		f.bytes += 4 * f.pixels()
	}
	return f.shape, nil
}
