package programme

import (
	"fmt"
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// busy is a firm with five open jobs of twelve rooms, at all stages, and eight crews.
func busy(t testing.TB, jobs, rooms int) *house {
	h := newHouse(t)
	for _, w := range words.Trades[1:8] {
		h.crew(w, "the "+w.String()+"s", 2)
	}
	h.crew(words.Electrician, "Ola", 1)
	for j := range jobs {
		job := nth[id.Job](h)
		for r := range rooms {
			h.room(job, fmt.Sprintf("House %d", j+1), fmt.Sprintf("Room %d", r+1), words.Stages[(j+r)%4], 4+(5*r+3*j)%11)
		}
	}
	h.Schedules, h.Draws = 0, 0
	return h
}

// BenchmarkFirm plans a firm with five open jobs and 60 rooms: at most 300 ms on one core,
// and 1,000 draws in at most a second.
func BenchmarkFirm(b *testing.B) {
	h := busy(b, 5, 12)
	b.Run("plan", func(b *testing.B) {
		for b.Loop() {
			p, err := newPlan(&h.Input)
			if err == nil {
				err = p.arrange(0)
			}
			if err != nil {
				b.Fatal(err)
			}
		}
	})
	p, err := newPlan(&h.Input)
	if err == nil {
		err = p.arrange(0)
	}
	if err != nil {
		b.Fatal(err)
	}
	b.Run("draws", func(b *testing.B) {
		for b.Loop() {
			p.draw(1000)
		}
	})
	b.Run("make", func(b *testing.B) {
		for b.Loop() {
			h.make()
		}
	})
}
