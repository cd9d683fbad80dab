package main

import (
	"bytes"
	"context"
	"encoding/json"
	"math/rand/v2"
	"net/http"
	"testing"

	"github.com/google/uuid"
)

// learns asks what the program calls the positions and walls of a room.
func (f *firmAtWork) learns(b *testing.B, at string, r *measured) {
	b.Helper()
	ask, err := http.NewRequestWithContext(b.Context(), http.MethodGet, at+"/api/v1/rooms/"+r.id+"/record", http.NoBody)
	if err != nil {
		b.Fatal(err)
	}
	ask.Header.Set("Authorization", "Bearer "+f.key)
	answer, err := http.DefaultClient.Do(ask)
	if err != nil {
		b.Fatal(err)
	}
	defer answer.Body.Close()
	var is struct{ Positions, Datums []handle }
	if err := json.NewDecoder(answer.Body).Decode(&is); err != nil || answer.StatusCode != http.StatusOK {
		b.Fatalf("%s is answered %d: %v", ask.URL.Path, answer.StatusCode, err)
	}
	r.positions, r.walls = is.Positions, is.Datums
}

// measures measures over the API, in the room that room says.
func (f *firmAtWork) measures(b *testing.B, at string,
	room func(c *client, turn int) *measured) func(context.Context, *client, int) (int64, error) {
	b.Helper()
	for _, r := range f.rooms {
		if r.positions == nil {
			f.learns(b, at, r)
		}
	}
	return func(ctx context.Context, c *client, turn int) (int64, error) {
		r := room(c, turn)
		of := r.positions[(c.n+c.made)%len(r.positions)]
		from := r.walls[c.made%len(r.walls)]
		chance := rand.New(rand.NewPCG(uint64(c.n), uint64(c.made)))
		body, err := json.Marshal(map[string]any{"id": uuid.Must(uuid.NewV7()), "kind": "offset", "of": of.ID,
			"from": from.ID, "state": "bare", "value": reads(chance, r.from(of.Name, from.Name))})
		if err != nil {
			return 0, err
		}
		ask, err := http.NewRequestWithContext(ctx, http.MethodPost, at+"/api/v1/rooms/"+r.id+"/measurements",
			bytes.NewReader(body))
		if err != nil {
			return 0, err
		}
		ask.Header.Set("Authorization", "Bearer "+f.key)
		ask.Header.Set("Content-Type", "application/json")
		return c.send(ask, http.StatusOK)
	}
}
