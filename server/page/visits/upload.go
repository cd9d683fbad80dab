package visits

import (
	"crypto/sha256"
	"errors"
	"io"
	"net/http"
	"net/url"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/server/page/kit"
	"lathmark/server/turn"

	"github.com/labstack/echo/v4"
)

// The bounds of a form with a picture.
const (
	maxFields = 64 << 10 // bytes of everything but the picture
	maxHeld   = photo.MaxBytes + maxFields
	// maxRead is as much of a picture that is too big as is read before we
	// answer: a browser looks for an answer only when all is sent.
	maxRead = 4 * photo.MaxBytes
	// uploadTime is how long a picture may take on its way: 15 MiB at 0.5 Mbit/s.
	uploadTime = 5 * time.Minute
)

// upload is a form with a picture.
type upload struct {
	*kit.Form
	picture []byte
	tooBig  bool
}

// readUpload reads a form with a picture (RFC 7578), part by part and into the
// memory, so that nothing has to be cleaned up. It believes no length that the
// request returns of itself. Faults: BadInput (it is no such form).
func readUpload(c echo.Context) (*upload, error) {
	r := c.Request()
	later := http.NewResponseController(c.Response())
	_ = later.SetReadDeadline(time.Now().Add(uploadTime))  // where it cannot be set,
	_ = later.SetWriteDeadline(time.Now().Add(uploadTime)) // the server's own limits hold
	r.Body = http.MaxBytesReader(c.Response(), r.Body, maxRead)
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, unreadable(err)
	}
	u := &upload{}
	values, left := url.Values{}, int64(maxFields)
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, unreadable(err)
		}
		if part.FormName() == "picture" {
			if u.picture, u.tooBig, err = readPicture(part); err != nil {
				return nil, unreadable(err)
			}
			values.Set("picture", room.Sum(sha256.Sum256(u.picture)).String()) // tells one photo from the next: newID
			continue
		}
		text, err := io.ReadAll(io.LimitReader(part, left+1))
		if left -= int64(len(text)) + 64; err != nil || left < 0 {
			return nil, unreadable(err)
		}
		values.Add(part.FormName(), string(text))
	}
	u.Form = kit.NewForm(values)
	return u, nil
}

// readPicture reads a picture, and of one that is too big only that it is.
func readPicture(part io.Reader) (data []byte, tooBig bool, err error) {
	data, err = io.ReadAll(io.LimitReader(part, photo.MaxBytes+1))
	if err != nil || len(data) <= photo.MaxBytes {
		return data, false, err
	}
	_, err = io.Copy(io.Discard, part)
	return nil, true, err
}

// unreadable is the fault of a form that ends early or is none; one that goes on
// far beyond every limit has a picture that is too big.
func unreadable(cause error) error {
	var more *http.MaxBytesError
	if errors.Is(cause, turn.ErrFull) {
		return cause
	}
	if errors.As(cause, &more) {
		return echo.ErrStatusRequestEntityTooLarge.WithInternal(cause)
	}
	return &fault.Error{Kind: fault.BadInput, Msg: "The photo did not come through in full.", Err: cause,
		Fields: []fault.Field{{Path: "picture", Wrong: "the photo did not come through in full", Mend: "Send it again"}}}
}
