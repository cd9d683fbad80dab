package server

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/synctest"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"

	"github.com/labstack/echo/v4"
)

// noRooms sees no room.
type noRooms struct{ standing.Glance }

func (noRooms) Heads(context.Context, firm.Person, room.Scope) ([]room.Head, error) { return nil, nil }

// A page that many ask for at once is drawn once for all of them, and not again for
// who comes later. Where whoever draws it comes to no end, the others draw it
// themselves.
func TestAPageIsDrawnOnce(t *testing.T) {
	const asking = 8
	for what, fails := range map[string]bool{"a page": false, "a page that fails at first": true} {
		synctest.Test(t, func(t *testing.T) {
			s := &server{Deps: Deps{Services: kit.Services{Book: standing.NewBook(noRooms{}, nil, time.Now), Now: time.Now}}}
			s.kept.Most = mostDrawn
			drawn, goOn := make(chan int, 2*asking), make(chan struct{})
			page := s.redraws(func(c echo.Context) error {
				n := len(drawn)
				drawn <- n
				<-goOn
				if fails && n == 0 {
					return errors.New("it fails")
				}
				return c.HTML(http.StatusOK, "a page")
			})
			answers := make(chan error, 2*asking)
			ask := func() {
				c := echo.New().NewContext(httptest.NewRequest(http.MethodGet, "/", http.NoBody), httptest.NewRecorder())
				c.Set(markKey, room.Mark{Firm: 1})
				answers <- page(c)
			}
			for range asking {
				go ask()
				synctest.Wait()
			}
			if n := len(drawn); n != 1 {
				t.Errorf("%s is drawn %d times at once", what, n)
			}
			close(goOn)
			synctest.Wait()
			ask()
			failed := 0
			for range asking + 1 {
				if <-answers != nil {
					failed++
				}
			}
			want, drawings := 0, 1
			if fails {
				want, drawings = 1, asking+1
			}
			if failed != want || len(drawn) != drawings {
				t.Errorf("%s is drawn %d times, want %d, and fails %d, want %d", what, len(drawn), drawings, failed, want)
			}
		})
	}
}
