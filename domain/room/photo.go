package room

import (
	"encoding/hex"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Photo is a photo of something in a room. What it shows is one of Surface,
// Datum, Position and Snag; where all are none, it is of the stage as a whole.
type Photo struct {
	ID       id.Photo    `json:"id" format:"uuid"`
	Surface  id.Surface  `json:"surface,omitzero" format:"uuid"`
	Datum    id.Datum    `json:"datum,omitzero" format:"uuid"`
	Position id.Position `json:"position,omitzero" format:"uuid"`
	Snag     id.Snag     `json:"snag,omitzero" format:"uuid"`
	// Stage was in hand when the photo was put on record; its sign-off freezes
	// the photo.
	Stage   words.Stage `json:"stage" doc:"In hand when it was saved; its sign-off freezes it."`
	Says    string      `json:"says,omitzero"`
	Picture Picture     `json:"picture,omitzero"` // zero: only a note of where the photo is kept
	By      id.Member   `json:"by,omitzero"`
	At      time.Time   `json:"at,omitzero" required:"true" doc:"When it was taken."` // by the phone's clock
	// RecordedAt is when it reached the server.
	RecordedAt time.Time `json:"recorded_at,omitzero"`
	StruckBy   id.Member `json:"struck_by,omitzero"`
	StruckAt   time.Time `json:"struck_at,omitzero"` // zero: it stands
	StruckWhy  string    `json:"struck_why,omitzero"`
}

// Stands reports whether the photo counts; it was not struck out.
func (p *Photo) Stands() bool { return p.StruckAt.IsZero() }

// Picture is what is known of a picture that lies outside the database.
type Picture struct {
	SHA256 Sum    `json:"sha256,omitzero" required:"true"` // of the picture in full size
	Type   string `json:"type,omitzero" required:"true"`   // media type
	Width  int    `json:"width,omitzero" required:"true"`  // of the full size, px
	Height int    `json:"height,omitzero" required:"true"`
	Bytes  int64  `json:"bytes,omitzero" required:"true"` // of the full size
}

// IsZero reports whether there is no picture.
func (p Picture) IsZero() bool { return p == Picture{} }

// Sum is a SHA-256 (FIPS 180-4). The zero value means none.
type Sum [32]byte

// String is the sum as 64 hexadecimal digits.
func (s Sum) String() string { return hex.EncodeToString(s[:]) }

// MarshalText is String.
func (s Sum) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText is ParseSum.
func (s *Sum) UnmarshalText(text []byte) (err error) {
	*s, err = ParseSum(string(text))
	return err
}

// ParseSum reads what String writes.
func ParseSum(text string) (s Sum, err error) {
	raw, err := hex.DecodeString(text)
	if err != nil || len(raw) != len(s) {
		return Sum{}, &fault.Error{Kind: fault.NotFound, Msg: "There is no such picture.", Err: err}
	}
	return Sum(raw), nil
}

// Shows returns what a photo shows, as one says it ("the south wall", "D4", "first
// fix"), and the surface it lies on; none for a snag or a whole stage. Faults: NotFound.
func (r *Record) Shows(p *Photo) (what string, on id.Surface, err error) {
	switch {
	case !p.Surface.IsZero():
		s, err := r.Surface(p.Surface)
		if err != nil {
			return "", on, err
		}
		return words.InWords(s.Name), s.ID, nil
	case !p.Datum.IsZero():
		d, err := r.Datum(p.Datum)
		if err != nil {
			return "", on, err
		}
		return "the " + d.Name, d.Surface, nil
	case !p.Position.IsZero():
		q, err := r.Position(p.Position)
		if err != nil {
			return "", on, err
		}
		return q.Name, q.Surface, nil
	case !p.Snag.IsZero():
		s, err := r.Snag(p.Snag)
		if err != nil {
			return "", on, err
		}
		return "the snag: " + words.NoStop(s.Says), on, nil
	}
	return p.Stage.String(), on, nil
}

// PhotosWhileOpen counts, by surface, the photos of it or of something on it
// that stand and were put on record before boarding was signed off.
func (r *Record) PhotosWhileOpen() map[id.Surface]int {
	out := map[id.Surface]int{}
	for i := range r.Photos {
		p := &r.Photos[i]
		if _, on, err := r.Shows(p); err == nil && p.Stands() && p.Stage <= words.Boarding && !on.IsZero() {
			out[on]++
		}
	}
	return out
}
