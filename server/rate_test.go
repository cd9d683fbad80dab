package server

import (
	"bytes"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

// A client that has used up its burst waits for as long as one more takes, and
// others do not wait for it.
func TestAMeterCountsEachClientAlone(t *testing.T) {
	m := newMeter(Rate{2 * time.Second, 3}, 10)
	for i := range 3 {
		if _, ok := m.take("a", 1, noon); !ok {
			t.Errorf("the %d. is refused", i+1)
		}
	}
	if wait, ok := m.take("a", 1, noon); ok || wait != 2*time.Second {
		t.Errorf("the fourth: %v, %v", ok, wait)
	}
	if _, ok := m.take("b", 1, noon); !ok {
		t.Error("another waits for the first")
	}
	if _, ok := m.take("a", 1, noon.Add(2*time.Second)); !ok {
		t.Error("after the wait it is refused")
	}
	if _, ok := m.take("a", 0, noon.Add(2*time.Second)); ok {
		t.Error("a look finds something where nothing is left")
	}
	none := newMeter(Rate{}, 1)
	for range 100 {
		if _, ok := none.take("a", 1, noon); !ok {
			t.Fatal("no limit refuses")
		}
	}
}

// However many clients ask, a meter remembers only the last of them; and one
// that asks all the time is not forgotten in favour of those that ask once.
func TestAMetersMemoryIsBounded(t *testing.T) {
	m := newMeter(Rate{time.Hour, 2}, 50)
	m.take("busy", 2, noon)
	for i := range 1000 {
		m.take(fmt.Sprint("stranger ", i), 1, noon)
		if _, ok := m.take("busy", 1, noon); ok {
			t.Fatalf("after %d strangers the busy one starts anew", i)
		}
	}
	if _, ok := m.take("stranger 999", 2, noon); ok {
		t.Error("the last stranger is forgotten")
	}
	if _, ok := m.take("stranger 950", 2, noon); !ok {
		t.Error("more than 50 are remembered")
	}
}

// limited returns a server with small limits and a stopped clock.
func limited(t *testing.T, r Rates, proxies string) *echo.Echo {
	t.Helper()
	d := bareDeps(new(bytes.Buffer))
	d.Rates, d.Now = r, func() time.Time { return noon }
	var err error
	if d.Proxies, err = Proxies(proxies); err != nil {
		t.Fatal(err)
	}
	e := newEcho(d)
	e.GET("/guess/:token", func(c echo.Context) error {
		if c.Param("token") == "right" {
			return c.String(http.StatusOK, "in\n")
		}
		return echo.ErrNotFound
	})
	return e
}

func from(address, path, forwarded string) *http.Request {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.RemoteAddr = address
	if forwarded != "" {
		r.Header.Set("X-Forwarded-For", forwarded)
	}
	return r
}

func TestClientsThatAskTooOftenWait(t *testing.T) {
	e := limited(t, Rates{Address: Rate{3 * time.Second, 5}}, "")
	for range 5 {
		if got := ask(e, from("192.0.2.1:999", "/sign-in", "")).Code; got != http.StatusOK {
			t.Fatalf("answers %d", got)
		}
	}
	for path, kind := range map[string]string{"/sign-in": "text/html", "/api/v1/jobs": "application/problem+json"} {
		w := ask(e, from("192.0.2.1:1000", path, "203.0.113."+strconv.Itoa(len(path))))
		if w.Code != http.StatusTooManyRequests || w.Header().Get("Retry-After") != "4" ||
			!strings.HasPrefix(w.Header().Get("Content-Type"), kind) {
			t.Errorf("%s answers %d, Retry-After %q, %s", path, w.Code, w.Header().Get("Retry-After"),
				w.Header().Get("Content-Type"))
		}
		if kind == "text/html" && !strings.Contains(w.Body.String(), "Wait a moment") {
			t.Errorf("the page says %s", w.Body)
		}
	}
	if got := ask(e, from("192.0.2.1:999", "/healthz", "")).Code; got != http.StatusOK {
		t.Errorf("healthz answers %d", got)
	}
	if got := ask(e, from("192.0.2.2:999", "/sign-in", "")).Code; got != http.StatusOK {
		t.Errorf("another address answers %d", got)
	}
	// One IPv6 network is one address.
	for i := range 5 {
		ask(e, from(fmt.Sprintf("[2001:db8::%d]:999", i+1), "/sign-in", ""))
	}
	if got := ask(e, from("[2001:db8::77]:999", "/sign-in", "")).Code; got != http.StatusTooManyRequests {
		t.Errorf("the sixth of one network answers %d", got)
	}
}

// Behind one of our proxies each stranger has a limit of their own.
func TestBehindAProxyEachClientHasALimit(t *testing.T) {
	e := limited(t, Rates{Address: Rate{time.Hour, 2}}, "10.0.0.0/8")
	for _, who := range []string{"203.0.113.1", "203.0.113.2"} {
		for i, want := range []int{200, 200, 429} {
			// What precedes the proxy's own entry is made up by the stranger.
			if got := ask(e, from("10.1.2.3:999", "/sign-in", fmt.Sprintf("198.51.100.%d, %s", i, who))).Code; got != want {
				t.Errorf("%s, the %d. time: %d, want %d", who, i+1, got, want)
			}
		}
	}
}

// One session has its limit, from wherever it asks; its requests do not count
// as guesses.
func TestASessionHasItsLimit(t *testing.T) {
	e := limited(t, Rates{Session: Rate{time.Hour, 2}}, "")
	for i, want := range []int{200, 200, 429} {
		r := from(fmt.Sprintf("192.0.2.%d:9", i), "/guess/right", "")
		r.AddCookie(&http.Cookie{Name: "lathmark", Value: "x"})
		if got := ask(e, r).Code; got != want {
			t.Errorf("the %d. answers %d, want %d", i+1, got, want)
		}
	}
}

// Guesses at secrets are few, and a right secret is let in however many wrong ones were
// tried before it from the same address.
func TestGuessesAreFew(t *testing.T) {
	e := limited(t, Rates{Miss: Rate{time.Minute, 3}, Address: Rate{time.Minute, 20}}, "")
	at := func(path string) int { return ask(e, from("192.0.2.1:9", path, "")).Code }
	for range 10 {
		if got := at("/guess/right"); got != 200 {
			t.Fatalf("a right one answers %d", got)
		}
		if got := at("/no-such-page"); got != 303 {
			t.Fatalf("what brings no secret answers %d", got)
		}
	}
	for i := range 1000 {
		want := http.StatusNotFound
		if i >= 3 {
			want = http.StatusTooManyRequests
		}
		if got := at(fmt.Sprintf("/guess/wrong%d", i)); got != want {
			t.Fatalf("the %d. wrong one answers %d, want %d", i+1, got, want)
		}
		if got := at("/guess/right"); i%100 == 0 && got != 200 {
			t.Errorf("a right one after that answers %d", got)
		}
	}
	if got := at("/sign-in"); got != 200 {
		t.Errorf("what needs no secret answers %d", got)
	}
}

// That everybody comes from one address is said once, where there are enough of them; who
// comes from another settles it.
func TestWhetherEverybodyComesFromOneAddress(t *testing.T) {
	var one, two onePlace
	said := 0
	for i := range 3 * crowd {
		if one.saw("10.0.0.5", fmt.Sprint(i%(crowd+3))) {
			said++
		}
		from := "10.0.0.5"
		if i == crowd-2 {
			from = "192.0.2.1"
		}
		if two.saw(from, fmt.Sprint(i)) {
			t.Error("it is said though one comes from elsewhere")
		}
	}
	if said != 1 {
		t.Errorf("it is said %d times", said)
	}
}
