// Package typed reads what people typed into a form. The server reads a form
// that a page sent with it, and the phone the same form while it is without
// signal, so that both take it to mean the same.
package typed

import (
	"crypto/sha256"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"
)

// Form is a form as somebody reads it: Get returns a field without blanks at its
// ends, Bad notes what is wrong with one and what would mend it.
type Form struct {
	Get func(name string) string
	Bad func(name, wrong, mend string)
}

// Number reads a length or a figure; an empty field is 0.
func (f Form) Number(name string) float64 {
	text := f.Get(name)
	if text == "" {
		return 0
	}
	x, ok := Number(text)
	if !ok {
		f.Bad(name, strconv.Quote(text)+" is no figure", "Give it in digits without a comma, such as 1200 or 12.5")
	}
	return x
}

// Needed reads a figure that must be there; what names it.
func (f Form) Needed(name, what string) float64 {
	if f.Get(name) == "" {
		f.Bad(name, "there is no "+what, "Give it in millimetres")
		return 0
	}
	return f.Number(name)
}

// Number reads a figure as people write it: "1200", "12.5", "12,5", "1200 mm".
// Not-a-number and infinity are no figures, and "1,200" is none: one reads it
// as twelve hundred, another as a little over one.
func Number(text string) (float64, bool) {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "mm"))
	if whole, part, ok := strings.Cut(text, ","); ok && len(part) != 3 {
		text = whole + "." + part
	}
	for _, r := range text {
		if (r < '0' || r > '9') && r != '.' && r != '-' && r != '+' {
			return 0, false
		}
	}
	x, err := strconv.ParseFloat(text, 64)
	return x, err == nil
}

// ID is the id of what a form creates: of version 7 (RFC 9562), its time that
// of the form's token, the rest a hash of the token and of all that was typed.
// Sending a form twice therefore makes one record, and going back to write
// another one makes another. n tells several records of one form apart.
func ID[T ~[16]byte](token uuid.UUID, fields map[string][]string, n int) T {
	h := sha256.New()
	h.Write(token[:])
	names := make([]string, 0, len(fields))
	for name := range fields {
		if name != "token" {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		h.Write([]byte(url.Values{name: fields[name]}.Encode() + "\n"))
	}
	h.Write([]byte(strconv.Itoa(n)))
	out := uuid.UUID(h.Sum(nil)[:16])
	copy(out[:6], token[:6])
	out[6] = out[6]&0x0f | 0x70
	out[8] = out[8]&0x3f | 0x80
	return T(out)
}
