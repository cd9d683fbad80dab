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
	"image"
	"image/jpeg"
	"image/png"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/server/turn"

	"golang.org/x/image/webp"
)

// MaxPixels is how many pixels a picture may have. The cameras of phones have
// 12 to 50 million; a page with script sends 3 or 4 million. Decoded, a pixel
// takes 1.5 to 8 bytes.
const MaxPixels = 50_000_000

// quality of a JPEG in each size, from 1 to 100. Common practice, no source:
// above 85 the eye sees no difference.
var quality = map[photo.Size]int{photo.Full: 85, photo.Page: 82, photo.Thumb: 78}

// mostTime is how long a picture may take to decode and to encode, others' turns not
// counted: one of MaxPixels takes about a second.
const mostTime = 20 * time.Second

// Developer makes pictures. It is safe for concurrent use: firms take turns, and what is
// decoded at the same time fits into the memory that there is for it.
type Developer struct{ Turns *turn.Turns }

// Develop makes a picture of what somebody sent. Faults: BadInput with what to do: it is
// too big, of another kind, broken, or takes too much to decode. The error is turn.ErrFull
// if too many wait already, and that of ctx if it ended.
func (d *Developer) Develop(ctx context.Context, by firm.Person, sent []byte) (*photo.Developed, error) {
	if len(sent) > photo.MaxBytes {
		return nil, TooBig()
	}
	kind, err := kindOf(sent)
	if err != nil {
		return nil, err
	}
	shape, err := judge(kind, sent)
	if err != nil {
		return nil, err
	}
	var made *photo.Developed
	work := turn.Work{Firm: by.Firm.String(), Who: by.ID.String(), Bytes: shape.bytes, Most: mostTime}
	err = d.Turns.Do(ctx, work, func(pause func() error) error {
		raw, err := kind.decode(slowly{bytes.NewBuffer(sent), pause})
		if err == nil {
			made, err = sizes(raw, kind.orientation(sent), pause)
		}
		return err
	})
	switch {
	case errors.Is(err, turn.ErrLong):
		return nil, bad("the picture takes too long to open", "Send it as an ordinary JPEG", err)
	case errors.Is(err, turn.ErrFull):
		return nil, err
	case err != nil && ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		return nil, broken(err)
	}
	return made, nil
}

// Make makes the sizes of an image. orientation is as in orientationOf.
func Make(raw image.Image, orientation int) (*photo.Developed, error) {
	return sizes(raw, orientation, func() error { return nil })
}

func sizes(raw image.Image, orientation int, pause func() error) (*photo.Developed, error) {
	out := &photo.Developed{Data: map[photo.Size][]byte{}}
	for _, size := range photo.Sizes { // each is made from the one before
		made, err := scaled(raw, size, orientation, pause)
		if err != nil {
			return nil, err
		}
		raw, orientation = made, 1
		var b bytes.Buffer
		if err := jpeg.Encode(slowly{&b, pause}, made, &jpeg.Options{Quality: quality[size]}); err != nil {
			return nil, err
		}
		out.Data[size] = b.Bytes()
		if size == photo.Full {
			out.Picture = room.Picture{SHA256: sha256.Sum256(b.Bytes()), Type: "image/jpeg", Width: made.Rect.Dx(),
				Height: made.Rect.Dy(), Bytes: int64(b.Len())}
		}
	}
	return out, nil
}

// slowly is a file that is read or written a little at a time, with a pause before each.
type slowly struct {
	file  *bytes.Buffer
	pause func() error
}

func (s slowly) Read(p []byte) (int, error) {
	if err := s.pause(); err != nil {
		return 0, err
	}
	return s.file.Read(p[:min(len(p), 512)])
}

func (s slowly) Write(p []byte) (int, error) {
	if err := s.pause(); err != nil {
		return 0, err
	}
	return s.file.Write(p)
}

// ErrTooBig is the cause of the fault that TooBig returns.
var ErrTooBig = errors.New("picture too big")

// TooBig returns the fault of a picture of over 15 MiB.
func TooBig() error {
	return bad("the picture is over 15 MB", smaller, ErrTooBig)
}

// smaller is what mends a picture that is too large.
const smaller = "Set the camera to a smaller picture and take it again"

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
	"image/jpeg": {jpeg.Decode, judgeJPEG, inJPEG},
	"image/png":  {png.Decode, judgePNG, inPNG},
	"image/webp": {webp.Decode, judgeWebP, inWebP},
}
