package picture

import (
	"bytes"
	"image"
	"io"
	"net/http"
	"strings"
)

// kind is one of the accepted kinds of picture.
type kind struct {
	decode func(io.Reader) (image.Image, error)
	judge  func([]byte) (shape, error)
	exif   func([]byte) []byte // the EXIF within a file, or nil
}

// orientation returns how the picture is stored in the file: see orientationOf.
func (k kind) orientation(sent []byte) int { return orientationOf(k.exif(sent)) }

// kindOf returns what a file is by its first bytes, as in the WHATWG's MIME
// Sniffing standard; its name and what the phone says of it do not count.
func kindOf(sent []byte) (kind, error) {
	if len(sent) == 0 {
		return kind{}, bad("there is no picture", "Take one, or choose it from the phone", nil)
	}
	if k, accepted := kinds[http.DetectContentType(sent)]; accepted {
		return k, nil
	}
	if isHEIF(sent) {
		return kind{}, bad("this is an HEIC picture, which most people's phones and computers cannot show",
			"Set the camera to JPEG (on an iPhone: Settings, Camera, Formats, Most Compatible) and take it again", nil)
	}
	return kind{}, bad("this is no picture of a kind that can be kept", "Send a JPEG, PNG or WebP picture", nil)
}

// isHEIF reports whether a file is a picture in an ISO base media file: HEIC, HEIF
// or AVIF, by the brand in its first box (ISO/IEC 14496-12, 4.3; brands from
// ISO/IEC 23008-12, annex B).
func isHEIF(sent []byte) bool {
	if len(sent) < 12 || !bytes.Equal(sent[4:8], []byte("ftyp")) {
		return false
	}
	brand := string(sent[8:12])
	return strings.HasPrefix(brand, "hei") || strings.HasPrefix(brand, "hev") || brand == "mif1" || brand == "msf1" ||
		strings.HasPrefix(brand, "avi")
}
