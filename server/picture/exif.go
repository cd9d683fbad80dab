package picture

import (
	"bytes"
	"encoding/binary"
)

// orientationOf reads the orientation from EXIF: the tag 0x0112 of its first
// directory (Exif 2.3, JEITA CP-3451C, 4.6.4), 1 to 8. It is 1, upright, if
// there is none or it cannot be read.
func orientationOf(exif []byte) int {
	if len(exif) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.LittleEndian
	switch string(exif[:4]) {
	case "II*\x00":
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return 1
	}
	at := uint64(order.Uint32(exif[4:]))
	if at+2 > uint64(len(exif)) {
		return 1
	}
	for n, entry := int(order.Uint16(exif[at:])), at+2; n > 0 && entry+12 <= uint64(len(exif)); n, entry = n-1, entry+12 {
		field := exif[entry : entry+12]
		if order.Uint16(field) != 0x0112 {
			continue
		}
		const short = 3 // of two bytes
		if v := order.Uint16(field[8:]); order.Uint16(field[2:]) == short && v >= 1 && v <= 8 {
			return int(v)
		}
		return 1
	}
	return 1
}

// inJPEG finds EXIF among the segments before the picture itself.
func inJPEG(file []byte) []byte {
	for at := 2; at+4 <= len(file) && file[at] == 0xff; {
		marker, size := file[at+1], int(binary.BigEndian.Uint16(file[at+2:]))
		if marker == 0xda || size < 2 || at+2+size > len(file) {
			break
		}
		segment := file[at+4 : at+2+size]
		if exif, is := bytes.CutPrefix(segment, []byte("Exif\x00\x00")); is && marker == 0xe1 {
			return exif
		}
		at += 2 + size
	}
	return nil
}

// inPNG finds EXIF in the chunk eXIf (PNG, third edition, 11.3.4.5).
func inPNG(file []byte) []byte { return chunk(file, 8, binary.BigEndian, false, "eXIf") }

// inWebP finds EXIF in the chunk EXIF (RFC 9649, 2.7.1.5).
func inWebP(file []byte) []byte {
	exif := chunk(file, 12, binary.LittleEndian, true, "EXIF")
	out, _ := bytes.CutPrefix(exif, []byte("Exif\x00\x00")) // some write this prefix, though it does not belong there
	return out
}

// chunk finds a chunk by its name in a series of them: in a PNG size, name,
// data, checksum; in a RIFF name, size, data, padded to an even size.
func chunk(file []byte, at int, order binary.ByteOrder, riff bool, want string) []byte {
	for at >= 0 && at+8 <= len(file) {
		size, name := uint64(order.Uint32(file[at:])), string(file[at+4:at+8])
		over := uint64(4)
		if riff {
			size, name = uint64(order.Uint32(file[at+4:])), string(file[at:at+4])
			over = size % 2
		}
		end := uint64(at) + 8 + size
		if end > uint64(len(file)) {
			return nil
		}
		if name == want {
			return file[at+8 : end]
		}
		at = int(end + over)
	}
	return nil
}
