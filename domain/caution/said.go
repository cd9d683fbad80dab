package caution

import "slices"

// Said is a caution with the holes that it goes for; none named: for all.
type Said struct {
	Caution
	For []string
}

// At is what there is to mind at the hole of a name.
type At struct {
	Name     string
	Cautions []Caution
}

// Gather returns the cautions of holes, each once, the worst first. What goes for every hole names none, and what
// Everywhere says stands there without holes, too.
func Gather(holes []At) []Said {
	list := Everywhere()
	for _, h := range holes {
		for _, c := range h.Cautions {
			if !slices.Contains(list, c) {
				list = append(list, c)
			}
		}
	}
	var out []Said
	for _, c := range Worst(list) {
		s := Said{Caution: c}
		for _, h := range holes {
			if slices.Contains(h.Cautions, c) {
				s.For = append(s.For, h.Name)
			}
		}
		if len(s.For) == len(holes) {
			s.For = nil
		}
		out = append(out, s)
	}
	return out
}
