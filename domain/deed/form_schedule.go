package deed

import (
	"errors"
	"strconv"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// The other forms of Schedule: positions pasted as lines, and spaced in rows and
// columns.
var (
	LinesSort  = Sort{Kind: KindSchedule, May: firm.MayRunJobs, form: readLines}
	SpacedSort = Sort{Kind: KindSchedule, May: firm.MayRunJobs, form: readSpaced,
		names: []string{"cutout", "spaced_cut_out", "name", "prefix", "kind", "spaced_kind"}}
)

// onPosition are the fields of a position as its form calls them.
var onPosition = []string{"cutout", "cut_out", "planned", "place", "positions[0].name", "name",
	"positions[0].kind", "kind", "positions[0].cutout", "cut_out", "positions[0].reach", "reach",
	"positions[0].planned", "place"}

// position reads the form of one position.
func (f *Form) position() room.PositionDraft {
	return room.PositionDraft{ID: NewID[id.Position](f, 0), Kind: f.Get("kind"), Cutout: f.Number("cut_out"),
		Name:  f.Named("name", "the position has no name", "Call it D1, or what is written on the tail"),
		Reach: f.Number("reach"), Planned: f.Point("place")}
}

// onto reads the surface that a schedule goes on.
func (f *Form) onto(field string) id.Surface {
	surface, err := id.Parse[id.Surface](f.Get(field))
	if err != nil {
		f.Bad(field, "it does not say which surface", "Choose it")
	}
	return surface
}

// mayReopen reports whether the form says that signed stages may open again.
func (f *Form) mayReopen() bool { return f.Get(Reopening) != "" }

func readOne(s *Sent) (Deed, error) {
	return Schedule{Surface: s.onto("surface"), Positions: []room.PositionDraft{s.position()},
		Reopen: s.mayReopen()}, nil
}

func readLines(s *Sent) (Deed, error) {
	surface := s.onto("lines_surface")
	drafts, err := room.ParseSchedule(parted(s.Get("lines")))
	if bad := (*fault.Error)(nil); errors.As(err, &bad) {
		for _, line := range bad.Fields {
			s.Bad("lines", line.Path+": "+line.Wrong, line.Mend)
		}
	} else if len(drafts) == 0 {
		s.Bad("lines", "there are no lines", "Paste them, one position a line")
	}
	for i := range drafts {
		drafts[i].ID = NewID[id.Position](s.Form, i)
	}
	return Schedule{surface, drafts, s.mayReopen()}, nil
}

// parted puts commas into lines that were typed with blanks: "D1 pipe tail 22"
// is name, kind and cut-out. Lines with commas, semicolons or tabs stay.
func parted(text string) string {
	all := strings.Split(strings.ReplaceAll(text, "\r\n", "\n"), "\n")
	for i, line := range all {
		words := strings.Fields(line)
		if strings.ContainsAny(line, "\t;,") || len(words) < 2 {
			continue
		}
		end := len(words)
		for end > 1 {
			if _, ok := Number(words[end-1]); !ok {
				break
			}
			end--
		}
		fields := []string{words[0], strings.Join(words[1:end], " ")}
		all[i] = strings.Join(append(fields, words[end:]...), ", ")
	}
	return strings.Join(all, "\n")
}

func readSpaced(s *Sent) (Deed, error) {
	surface := s.onto("spaced_surface")
	g := room.Grid{Rows: s.Count("rows", "rows"), Columns: s.Count("columns", "columns"),
		Prefix: s.Named("prefix", "the positions have no name", "D gives D1, D2 and so on"), Kind: s.Get("spaced_kind"),
		Cutout: s.Number("spaced_cut_out")}
	if err := s.Err(); err != nil {
		return nil, err
	}
	on, err := s.Standing.Record.Surface(surface)
	if err != nil {
		return nil, err
	}
	g.From = nextNumber(s.Standing.Record, g.Prefix, s.Form)
	drafts, err := room.Spaced(on.Outline, g)
	for i := range drafts {
		drafts[i].ID = NewID[id.Position](s.Form, i)
	}
	return Schedule{surface, drafts, s.mayReopen()}, err
}

// nextNumber is the first number that no position with a prefix has yet. The
// form's own, where it was taken before, do not count: a repeat returns the same.
func nextNumber(r *room.Record, prefix string, f *Form) int {
	own := map[id.Position]bool{}
	for i := range 500 {
		own[NewID[id.Position](f, i)] = true
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
