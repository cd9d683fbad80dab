package programme

import (
	"net/url"
	"slices"
	"strconv"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Week is the days on which the firm works, and those on which nobody of it does.
func (p *Pages) Week() kit.Pair {
	return kit.Filled[web.WeekView]{May: firm.MayRunJobs, Page: web.Week, View: p.weekView,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			ctx, by := c.Request().Context(), kit.Who(c)
			if f.Get("closed") == "" {
				return web.WeekPath, "settings", p.Programme.SetWeek(ctx, by, week(f), f.Get("region"))
			}
			a := away(f)
			if err = f.Err(); err == nil {
				_, err = p.Programme.SayAway(ctx, by, a)
			}
			return web.WeekPath, "away", err
		}}.Pair()
}

func (p *Pages) weekView(c echo.Context, typed web.Typed) (web.WeekView, error) {
	v := web.WeekView{Sheet: p.Sheet(c, "Week and holidays"), Typed: typed,
		Regions: []web.Option{{Value: programme.England, Label: programme.England}}}
	v.Next = web.Next{Sentence: "Say on which days the firm works: the programme plans on no others."}
	got, err := p.Programme.Read(c.Request().Context(), kit.Who(c))
	if err != nil {
		return v, err
	}
	v.Begins = url.Values{"region": {got.Given.Region},
		"day": days(got.Given.Week, [7]bool{1: true, 2: true, 3: true, 4: true,
			5: true})}
	v.Away = stillAway(got, id.Crew{})
	return v, nil
}

// week reads the days of a week that are ticked.
func week(f *kit.Form) (out [7]bool) {
	for _, text := range f.Values["day"] {
		if n, err := strconv.Atoi(text); err == nil && n >= 0 && n < len(out) {
			out[n] = true
		}
	}
	return out
}

// days are those of a week as its boxes have them; usual is taken where none is given.
func days(given, usual [7]bool) (out []string) {
	if given == [7]bool{} {
		given = usual
	}
	for n, works := range given {
		if works {
			out = append(out, strconv.Itoa(n))
		}
	}
	return out
}

// away reads when somebody does not come.
func away(f *kit.Form) programme.Away {
	return programme.Away{ID: kit.NewID[id.Away](f, 0), From: day(f, "from"), To: day(f, "to"), Why: f.Get("why")}
}

// stillAway are the absences of a crew, or of the whole firm, that have not ended.
func stillAway(got programme.View, of id.Crew) (out []programme.Away) {
	for _, a := range got.Given.Away {
		if a.Crew == of && !a.To.Before(got.Today) {
			out = append(out, a)
		}
	}
	slices.SortFunc(out, func(a, b programme.Away) int { return a.From.Compare(b.From) })
	return out
}

// BackAgain takes an absence back.
func (p *Pages) BackAgain(c echo.Context) error {
	return kit.Press(c, "away", p.Programme.BackAgain, web.ProgrammePath, "back-again")
}

// Rates is how long each trade takes.
func (p *Pages) Rates() kit.Pair {
	return kit.Filled[web.RatesView]{May: firm.MayRunJobs, Page: web.Rates, View: p.ratesView, Take: p.setRates}.Pair()
}

func (p *Pages) ratesView(c echo.Context, typed web.Typed) (web.RatesView, error) {
	v := web.RatesView{Sheet: p.Sheet(c, "Rates"), Typed: typed}
	v.Next = web.Next{Sentence: "Set what you know of your own crews; the rest is learned as stages are finished."}
	got, err := p.Programme.Read(c.Request().Context(), kit.Who(c))
	v.Begins = url.Values{}
	for _, r := range programme.Assumed() {
		row := web.RateRow{Rate: r, Unit: unit(r)}
		for _, set := range got.Given.Rates {
			if set.Trade == r.Trade && set.Stage == r.Stage {
				for name, x := range map[string]float64{"least": set.Least, "likely": set.Likely, "most": set.Most} {
					v.Begins.Set(name+"."+row.Name(), strconv.FormatFloat(x, 'g', 6, 64))
				}
			}
		}
		v.Rows = append(v.Rows, row)
	}
	return v, err
}

// unit is what a trade's rate is for.
func unit(r programme.Rate) string {
	if r.Trade != words.Tiler && (r.Stage == words.FirstFix || r.Stage == words.SecondFix) {
		return "position"
	}
	return "square metre"
}

func (p *Pages) setRates(c echo.Context, f *kit.Form) (to, said string, err error) {
	got, err := p.Programme.Read(c.Request().Context(), kit.Who(c))
	if err != nil {
		return "", "", err
	}
	var changed []programme.Rate
	for _, r := range programme.Assumed() {
		row := web.RateRow{Rate: r}
		r.Least, r.Likely, r.Most = rate(f, "least."+row.Name()), rate(f, "likely."+row.Name()), rate(f, "most."+row.Name())
		if (r.Least != 0 || r.Likely != 0 || r.Most != 0) && !(0 < r.Least && r.Least <= r.Likely && r.Likely <= r.Most) {
			f.Bad("likely."+row.Name(), "the three do not rise",
				"Give all three, the least first, or leave all three empty")
		}
		if at := slices.IndexFunc(got.Given.Rates, func(o programme.Rate) bool {
			return o.Trade == r.Trade && o.Stage == r.Stage
		}); at >= 0 && got.Given.Rates[at] != r || at < 0 && r.Likely != 0 {
			changed = append(changed, r)
		}
	}
	err = f.Err()
	for i := 0; i < len(changed) && err == nil; i++ {
		err = p.Programme.SetRate(c.Request().Context(), kit.Who(c), changed[i])
	}
	return web.RatesPath, "settings", err
}

// rate reads a figure; an empty field is 0.
func rate(f *kit.Form, name string) float64 {
	text := f.Get(name)
	if text == "" {
		return 0
	}
	x, ok := words.Figure(text)
	if !ok {
		f.Bad(name, strconv.Quote(text)+" is no figure", "Give it as 0.25")
	}
	return x
}
