package room

import (
	"fmt"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// PositionDraft is a position as somebody puts it on the schedule.
type PositionDraft struct {
	ID        id.Position      `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Name      string           `json:"name,omitzero" required:"true" minLength:"1" maxLength:"60" doc:"Unique in the room."`
	Kind      string           `json:"kind,omitzero" maxLength:"60" doc:"downlight, pendant, fan, switch drop, socket, sensor, pipe tail, waste ..."`
	Trade     words.Trade      `json:"trade,omitzero" enum:"electrician,plumber,dry_liner,plasterer,tiler,joiner,decorator" doc:"Whose tail it is; told from the kind where it is left out."`
	Cutout    float64          `json:"cutout,omitzero" minimum:"0" maximum:"1000"`
	Reach     float64          `json:"reach,omitzero" minimum:"0" maximum:"5000"`
	TailSigma float64          `json:"tail_sigma,omitzero" minimum:"0" maximum:"1000"`
	Planned   *roomsheet.Point `json:"planned,omitzero" doc:"Where it is wanted."`
}

// ParseSchedule reads positions from pasted lines, one to a line: name, kind,
// cut-out in mm, and where it is wanted as two lengths in mm. Fields are parted
// by tabs, semicolons or commas; all but the name may be left out. Empty lines
// are skipped. Faults: BadInput with every line that cannot be read.
//
//	D1, downlight, 76, 600, 450
//	P1, pendant
func ParseSchedule(text string) ([]PositionDraft, error) {
	var out []PositionDraft
	var wrong []fault.Field
	for n, line := range strings.Split(text, "\n") {
		if strings.TrimSpace(line) == "" {
			continue
		}
		d, err := parseLine(line)
		if err != "" {
			wrong = append(wrong, fault.Field{Path: fmt.Sprintf("line %d", n+1), Wrong: err,
				Mend: "Write it as: D1, downlight, 76, 600, 450"})
			continue
		}
		out = append(out, d)
	}
	if len(wrong) > 0 {
		return nil, &fault.Error{Kind: fault.BadInput, Msg: "Some lines of the schedule cannot be read.", Fields: wrong}
	}
	return out, nil
}

func parseLine(line string) (d PositionDraft, wrong string) {
	fields := strings.FieldsFunc(line, func(r rune) bool { return r == '\t' || r == ';' || r == ',' })
	for i := range fields {
		fields[i] = strings.TrimSpace(fields[i])
	}
	if len(fields) == 0 || fields[0] == "" {
		return d, "the line has no name"
	}
	d.Name = fields[0]
	if len(fields) > 1 {
		d.Kind = fields[1]
	}
	var numbers []float64
	for _, f := range fields[min(2, len(fields)):] {
		x, misread, _ := words.Length(f)
		if misread != "" {
			return d, misread
		}
		numbers = append(numbers, x)
	}
	switch len(numbers) {
	case 0:
	case 1:
		d.Cutout = numbers[0]
	case 3:
		d.Cutout, d.Planned = numbers[0], &roomsheet.Point{numbers[1], numbers[2]}
	default:
		return d, "a position has a cut-out and two lengths at most"
	}
	return d, ""
}

// Position is the position that a draft asks for on a surface.
func (d PositionDraft) Position(surface id.Surface) Position {
	p := Position{ID: id.OrNew(d.ID), Surface: surface, Name: strings.TrimSpace(d.Name), Kind: strings.TrimSpace(d.Kind),
		Trade:  d.Trade,
		Cutout: d.Cutout, Reach: d.Reach, TailSigma: d.TailSigma, Planned: d.Planned, Version: 1}
	if p.Trade == "" {
		p.Trade = words.TradeOfKind(p.Kind)
	}
	return p
}

// Asked reports whether two positions were asked for in the same words.
func (p *Position) Asked(q Position) bool {
	same := p.Surface == q.Surface && p.Name == q.Name && p.Kind == q.Kind && p.Trade == q.Trade && p.Cutout == q.Cutout &&
		p.Reach == q.Reach && p.TailSigma == q.TailSigma && (p.Planned == nil) == (q.Planned == nil)
	return same && (p.Planned == nil || *p.Planned == *q.Planned)
}
