package firm

import (
	"strings"
	"unicode/utf8"

	"lathmark/domain/fault"
)

// CheckEmail returns an e-mail address as it is stored and compared: A to Z in
// lower case, and nothing else changed. Letters beyond ASCII stay as they are,
// because some of them become an ASCII letter in lower case, and two people's
// addresses would be the same. It does not check that mail arrives. Faults:
// BadInput.
func CheckEmail(text string) (string, error) {
	text = strings.TrimSpace(text)
	local, domain, found := strings.Cut(text, "@")
	odd := func(r rune) bool { return r <= ' ' || r == 0x7f || r == '@' || r == utf8.RuneError }
	// 254 octets: RFC 5321, section 4.5.3.1.3, less the angle brackets.
	if !found || local == "" || domain == "" || len(text) > 254 || strings.ContainsFunc(local, odd) ||
		strings.ContainsFunc(domain, odd) {
		return "", fault.Bad("This e-mail cannot be saved.", "email", "that is not an e-mail address",
			"Give it as name@firm.example")
	}
	return strings.Map(func(r rune) rune {
		if r >= 'A' && r <= 'Z' {
			return r + 'a' - 'A'
		}
		return r
	}, text), nil
}
