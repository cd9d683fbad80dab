package page

import (
	"strings"

	"lathmark/domain/caution"
	"lathmark/domain/standing"
	"lathmark/web"
)

// shown is a caution as it stands next to the act it guards; the page adds who
// decides.
func shown(c caution.Caution) web.Caution {
	return web.Caution{Says: c.Text, Source: c.Source.String()}
}

func allShown(list []caution.Caution) []web.Caution {
	var out []web.Caution
	for _, c := range list {
		out = append(out, shown(c))
	}
	return out
}

// roomCautions stand above the schedules: where a cable goes through joists,
// and the air that a wet room needs.
func roomCautions(j *standing.Standing) []web.Caution {
	var out []web.Caution
	if len(j.Record.Timbers) > 0 {
		out = append(out, shown(caution.JoistCable))
	}
	name := strings.ToLower(j.Record.Name)
	for _, of := range []struct {
		word string
		air  caution.AirRoom
	}{{"bath", caution.Bathroom}, {"shower", caution.Bathroom}, {"wet room", caution.Bathroom},
		{"utility", caution.Utility},
		{"kitchen", caution.Kitchen}, {"wc", caution.Sanitary}, {"toilet", caution.Sanitary}} {
		if strings.Contains(name, of.word) {
			if c, ok := caution.FanCaution(of.air); ok {
				out = append(out, shown(c))
			}
			break
		}
	}
	return out
}
