package kit

import (
	"net/url"
	"strings"
	"unicode"
)

// Attachment returns the Content-Disposition of a file that is named after something that
// people named. A name has nothing that means something to a file system; who reads no
// UTF-8 gets a plain one (RFC 6266, sections 4.3 and 5; RFC 8187).
func Attachment(name, ending string) string {
	name = strings.Map(func(r rune) rune {
		switch {
		case strings.ContainsRune(`/\:*?"<>|%`, r):
			return '-'
		case !unicode.IsPrint(r) && r != ' ' || unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, name)
	if name = strings.Trim(name, " ."); name == "" {
		name = "file"
	}
	plain := strings.Map(func(r rune) rune {
		if r > unicode.MaxASCII {
			return '-'
		}
		return r
	}, name)
	return `attachment; filename="` + plain + "." + ending + `"; filename*=UTF-8''` +
		strings.ReplaceAll(url.QueryEscape(name), "+", "%20") + "." + ending
}
