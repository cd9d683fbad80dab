package job

import (
	"context"
	"strings"
	"time"
	"unicode/utf8"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// MaxHits is how many hits a search returns at most. Whoever gets as many can
// add a word.
const MaxHits = 50

// maxSearch is how many characters a search may have.
const maxSearch = 120

// Hit is something that a search found: a job, a room of it, or a position.
type Hit struct {
	Job     id.Job `json:"job" format:"uuid"`
	JobName string `json:"job_name"`
	Address string `json:"address"`
	// of the job; zero: it is open
	ClosedAt time.Time   `json:"closed_at,omitzero" doc:"Of the job; left out while it is open."`
	Room     id.Room     `json:"room,omitzero" format:"uuid"` // none: the job itself
	RoomName string      `json:"room_name,omitempty"`
	Position id.Position `json:"position,omitzero" format:"uuid"` // none: the room itself
	Surface  id.Surface  `json:"-"`                               // of the position
	Name     string      `json:"-"`                               // of the position
}

// SearchTx is what a search needs of a transaction.
type SearchTx interface {
	// Find returns at most limit hits, jobs before rooms before positions, and
	// among them those of open jobs first. Each of the words is in the name of
	// what was found or of where it is, and at least one in its own; case does
	// not matter.
	Find(ctx context.Context, words []string, limit int) ([]Hit, error)
}

// Search finds jobs by name or address, rooms and positions by name, of open
// and closed jobs, at most MaxHits: those that the person may see. Each word of
// the text has to fit; no words find nothing. Everyone on site may call it.
// Faults: Refused, BadInput (it is too long).
func (s *Service) Search(ctx context.Context, by firm.Person, text string) ([]Hit, error) {
	return firm.Ask(ctx, s.in, by, firm.MayRead, func(tx Tx) ([]Hit, error) {
		words := strings.Fields(text)
		switch {
		case utf8.RuneCountInString(text) > maxSearch:
			return nil, fault.Bad("That search is too long.", "q", "it is too long", "Give a few words of a name")
		case len(words) == 0:
			return nil, nil
		}
		return tx.Find(ctx, words, MaxHits)
	})
}
