// Package picture turns what a phone sends into pictures that can be stored: it
// recognises their kind by their content, turns them upright, and encodes them
// again in every size, so that nothing but the visible picture remains: no
// location, no serial number, no second file hidden behind the first.
package picture

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"

	"lathmark/domain/fault"
	"lathmark/domain/photo"
	"lathmark/domain/room"

	"golang.org/x/image/draw"
	"golang.org/x/image/webp"
	"golang.org/x/sync/semaphore"
)

// MaxPixels is how many pixels a picture may have. The cameras of phones have
// 12 to 50 million; a page with script sends 3 or 4 million. Decoded, a pixel
// takes 1.5 to 8 bytes.
const MaxPixels = 50_000_000

// quality of a JPEG in each size, from 1 to 100. Common practice, no source:
// above 85 the eye sees no difference.
var quality = map[photo.Size]int{photo.Full: 85, photo.Page: 82, photo.Thumb: 78}

// Developer makes pictures. It is safe for concurrent use: it works on as many
// at a time as have MaxPixels between them, and the others wait, so that a site
// that regains signal does not fill the memory.
type Developer struct{ pixels *semaphore.Weighted }

// NewDeveloper returns a developer.
func NewDeveloper() *Developer { return &Developer{semaphore.NewWeighted(MaxPixels)} }

// Develop makes a picture of what was sent. Faults: BadInput with what to do:
// it is too big, of another kind, or broken. The error is that of ctx if it
// ended while waiting.
func (d *Developer) Develop(ctx context.Context, sent []byte) (*photo.Developed, error) {
	if len(sent) > photo.MaxBytes {
		return nil, TooBig()
	}
	kind, err := kindOf(sent)
	if err != nil {
		return nil, err
	}
	size, err := kind.config(bytes.NewReader(sent))
	if err != nil || size.Width < 1 || size.Height < 1 {
		return nil, broken(err)
	}
	pixels := int64(size.Width) * int64(size.Height)
	if pixels > MaxPixels {
		return nil, bad(fmt.Sprintf("the picture has %d million pixels, and %d million are the most", pixels/1_000_000,
			MaxPixels/1_000_000), "Set the camera to a smaller picture and take it again", nil)
	}
	if err := d.pixels.Acquire(ctx, pixels); err != nil {
		return nil, err
	}
	defer d.pixels.Release(pixels)
	raw, err := kind.decode(bytes.NewReader(sent))
	if err != nil {
		return nil, broken(err)
	}
	return Make(raw, kind.orientation(sent))
}

// Make makes the sizes of an image. orientation is as in orientationOf.
func Make(raw image.Image, orientation int) (*photo.Developed, error) {
	out := &photo.Developed{Data: map[photo.Size][]byte{}}
	upright := turned(scaled(raw, photo.Full), orientation)
	for _, size := range photo.Sizes { // each is made from the one before
		upright = scaled(upright, size)
		var b bytes.Buffer
		if err := jpeg.Encode(&b, upright, &jpeg.Options{Quality: quality[size]}); err != nil {
			return nil, err
		}
		out.Data[size] = b.Bytes()
		if size == photo.Full {
			out.Picture = room.Picture{SHA256: sha256.Sum256(b.Bytes()), Type: "image/jpeg", Width: upright.Rect.Dx(),
				Height: upright.Rect.Dy(), Bytes: int64(b.Len())}
		}
	}
	return out, nil
}

// scaled returns the picture in a size, on white where it is transparent. It is
// halved step by step, so that each pixel counts: ApproxBiLinear looks at four,
// and needs no memory besides the result.
func scaled(raw image.Image, size photo.Size) *image.RGBA {
	from := raw.Bounds()
	w, h := size.Fit(from.Dx(), from.Dy())
	if done, is := raw.(*image.RGBA); is && w == from.Dx() && h == from.Dy() && from.Min == (image.Point{}) &&
		done.Opaque() {
		return done
	}
	for max(from.Dx(), from.Dy()) > 2*max(w, h) {
		raw = onPaper(raw, (from.Dx()+1)/2, (from.Dy()+1)/2)
		from = raw.Bounds()
	}
	return onPaper(raw, w, h)
}

func onPaper(raw image.Image, w, h int) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
	draw.ApproxBiLinear.Scale(out, out.Rect, raw, raw.Bounds(), draw.Over, nil)
	return out
}

// ErrTooBig is the cause of the fault that TooBig returns.
var ErrTooBig = errors.New("picture too big")

// TooBig returns the fault of a picture of over 15 MiB.
func TooBig() error {
	return bad("the picture is over 15 MB", "Set the camera to a smaller picture and take it again", ErrTooBig)
}

func broken(cause error) error {
	return &fault.Error{Kind: fault.BadInput, Msg: "The picture is broken or was cut off.", Err: cause,
		Fields: []fault.Field{{Path: "picture", Wrong: "the picture is broken or was cut off", Mend: "Take it again"}}}
}

func bad(wrong, mend string, cause error) error {
	return &fault.Error{Kind: fault.BadInput, Msg: "The picture cannot be kept.", Err: cause,
		Fields: []fault.Field{{Path: "picture", Wrong: wrong, Mend: mend}}}
}

// kinds are those that are accepted, by their media types.
var kinds = map[string]kind{
	"image/jpeg": {jpeg.Decode, jpeg.DecodeConfig, inJPEG},
	"image/png":  {png.Decode, png.DecodeConfig, inPNG},
	"image/webp": {webp.Decode, webp.DecodeConfig, inWebP},
}
