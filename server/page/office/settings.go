package office

import (
	"net/url"
	"strconv"
	"time"

	"lathmark/domain/firm"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// units are those that a time to stay signed in is given in, the longest first.
var units = []struct {
	name string
	of   time.Duration
}{{"days", 24 * time.Hour}, {"hours", time.Hour}, {"minutes", time.Minute}}

// year is more than any time may be; what is longer is cut to it, before it is
// refused.
const year = 366 * 24 * time.Hour

// FirmSettings are the firm's time zone, and how long its people stay signed in and who needs a passkey.
func (p *Pages) FirmSettings() kit.Pair {
	return kit.Filled[web.FirmView]{May: firm.MayRunFirm, Page: web.Firm, View: p.firmView,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			limits := firm.Limits{Idle: lasting(f, "idle"), Absolute: lasting(f, "absolute")}
			if err = f.Err(); err == nil {
				err = p.Firm.Settle(c.Request().Context(), kit.Who(c), limits, f.Get("zone"),
					firm.PasskeyOf(f.Get("need_passkey")))
			}
			return web.FirmPath, "settings", err
		}}.Pair()
}

func (p *Pages) firmView(c echo.Context, typed web.Typed) (web.FirmView, error) {
	f, err := p.Firm.Firm(c.Request().Context(), kit.Who(c))
	v := web.FirmView{Sheet: p.Sheet(c, "The firm's settings"), Typed: typed,
		Units: kit.Options("minutes", "hours", "days"), PasskeysOf: []web.Option{
			{Value: string(firm.OfNobody), Label: "Nobody"}, {Value: string(firm.OfRunners), Label: "Owners and foremen"},
			{Value: string(firm.OfEverybody), Label: "Everybody who signs in, trades and clients too"}}}
	v.Next = web.Next{Sentence: "Set the firm's time zone, and how long people stay signed in."}
	idle, idleIn := inUnits(f.Limits.Idle)
	absolute, absoluteIn := inUnits(f.Limits.Absolute)
	v.Begins = url.Values{"zone": {string(f.Zone)}, "idle": {idle}, "idle_in": {idleIn},
		"absolute": {absolute}, "absolute_in": {absoluteIn}, "need_passkey": {string(f.NeedPasskey)}}
	return v, err
}

// inUnits is a time in the longest unit that it is whole in.
func inUnits(d time.Duration) (n, unit string) {
	for _, u := range units {
		if d%u.of == 0 {
			return strconv.FormatInt(int64(d/u.of), 10), u.name
		}
	}
	return strconv.FormatInt(int64(d/time.Minute), 10), "minutes"
}

// lasts is a time in words: "2 days".
func lasts(d time.Duration) string {
	n, unit := inUnits(d)
	return n + " " + unit
}

// lasting reads a whole number of units.
func lasting(f *kit.Form, name string) time.Duration {
	n, err := strconv.Atoi(f.Get(name))
	if err != nil || n < 1 {
		f.Bad(name, "the time is missing or cannot be read", "Give a whole number")
		return 0
	}
	for _, u := range units {
		if u.name == f.Get(name+"_in") {
			return time.Duration(min(n, int(year/u.of))) * u.of
		}
	}
	f.Bad(name+"_in", "it does not say whether these are minutes, hours or days", "Choose minutes, hours or days")
	return 0
}
