package kit

import (
	"strings"

	"lathmark/domain/caution"
	"lathmark/domain/standing"
	"lathmark/web"
)

// Shown is a caution as it stands next to the act it guards; the page adds who
// decides.
func Shown(c caution.Caution) web.Caution {
	return web.Caution{Says: c.Text, Source: c.Source.String()}
}

func AllShown(list []caution.Caution) []web.Caution {
	var out []web.Caution
	for _, c := range list {
		out = append(out, Shown(c))
	}
	return out
}

// RoomCautions stand above the schedules: where a cable goes through joists,
// and the air that a wet room needs.
func RoomCautions(j *standing.Standing) []web.Caution {
	var out []web.Caution
	if len(j.Record.Timbers) > 0 {
		out = append(out, Shown(caution.JoistCable))
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
				out = append(out, Shown(c))
			}
			break
		}
	}
	return out
}
