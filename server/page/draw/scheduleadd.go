package draw

import (
	"strconv"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// AddLines takes positions that were pasted as lines.
func (p *Pages) AddLines(c echo.Context) error {
	return p.addTo(c, "lines_surface", func(f *kit.Form, _ id.Room, _ id.Surface) ([]room.PositionDraft, error) {
		drafts, err := room.ParseSchedule(parted(f.Get("lines")))
		if err == nil && len(drafts) == 0 {
			f.Bad("lines", "there are no lines", "Paste them, one position a line")
		}
		for i := range drafts {
			drafts[i].ID = kit.NewID[id.Position](f, i)
		}
		return drafts, err
	}, func(v *web.ScheduleView, f *kit.Form, faults []fault.Field) {
		v.Lines = web.LinesForm{Surface: f.Get("lines_surface"), Lines: f.Get("lines")}
		v.Faults = faults
		for i := range v.Faults {
			if strings.HasPrefix(v.Faults[i].Path, "line ") {
				v.Faults[i].Wrong = v.Faults[i].Path + ": " + v.Faults[i].Wrong
				v.Faults[i].Path = "lines"
			}
		}
	})
}

// parted puts commas into lines that were typed with blanks: "D1 pipe tail 22"
// is name, kind and cut-out. Lines with commas, semicolons or tabs stay.
func parted(text string) string {
	all := kit.Lines(text)
	for i, line := range all {
		words := strings.Fields(line)
		if strings.ContainsAny(line, "\t;,") || len(words) < 2 {
			continue
		}
		end := len(words)
		for end > 1 {
			if _, ok := deed.Number(words[end-1]); !ok {
				break
			}
			end--
		}
		fields := []string{words[0], strings.Join(words[1:end], " ")}
		all[i] = strings.Join(append(fields, words[end:]...), ", ")
	}
	return strings.Join(all, "\n")
}

// AddSpaced takes positions spaced in rows and columns.
func (p *Pages) AddSpaced(c echo.Context) error {
	return p.addTo(c, "spaced_surface", func(f *kit.Form, of id.Room, surface id.Surface) ([]room.PositionDraft, error) {
		g := room.Grid{Rows: f.Count("rows", "rows"), Columns: f.Count("columns", "columns"), Prefix: f.Get("prefix"),
			Kind: f.Get("spaced_kind"), Cutout: f.Number("spaced_cut_out")}
		if g.Prefix == "" {
			f.Bad("prefix", "the positions have no name", "D gives D1, D2 and so on")
		}
		if err := f.Err(); err != nil {
			return nil, err
		}
		by, ctx := kit.Who(c), c.Request().Context()
		j, err := p.Desk.Read(ctx, by, of)
		if err != nil {
			return nil, err
		}
		g.From = nextNumber(j.Record, g.Prefix, f)
		drafts, _, err := p.Desk.Grid(ctx, by, of, surface, g, false)
		for i := range drafts {
			drafts[i].ID = kit.NewID[id.Position](f, i)
		}
		return drafts, err
	}, func(v *web.ScheduleView, f *kit.Form, faults []fault.Field) {
		v.Spaced = web.SpacedForm{Surface: f.Get("spaced_surface"), Kind: f.Get("spaced_kind"), Prefix: f.Get("prefix"),
			Rows: f.Get("rows"), Columns: f.Get("columns"), CutOut: f.Get("spaced_cut_out")}
		v.Faults = kit.Renamed(faults, "cutout", "spaced_cut_out", "name", "prefix", "kind", "spaced_kind")
	})
}

// nextNumber is the first number that no position with a prefix has yet. The
// form's own, where it was taken before, do not count: a repeat returns the same.
func nextNumber(r *room.Record, prefix string, f *kit.Form) int {
	own := map[id.Position]bool{}
	for i := range 500 {
		own[kit.NewID[id.Position](f, i)] = true
	}
	next := 1
	for _, q := range r.Positions {
		n, err := strconv.Atoi(strings.TrimPrefix(q.Name, prefix))
		if err == nil && strings.HasPrefix(q.Name, prefix) && !own[q.ID] {
			next = max(next, n+1)
		}
	}
	return next
}
