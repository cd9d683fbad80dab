package auth

import "strings"

// mark is a word in a browser's own name for itself, and what people call it.
type mark struct{ word, name string }

// The order matters: most browsers also name those that they want to be taken
// for.
var (
	browsers = []mark{{"Edg", "Edge"}, {"OPR/", "Opera"}, {"SamsungBrowser/", "Samsung browser"}, {"Firefox/", "Firefox"},
		{"FxiOS/", "Firefox"},
		{"CriOS/", "Chrome"}, {"Chrome/", "Chrome"}, {"Safari/", "Safari"}}
	systems = []mark{{"iPhone", "iPhone"}, {"iPad", "iPad"}, {"Android", "Android"}, {"Windows", "Windows"},
		{"CrOS", "ChromeOS"},
		{"Macintosh", "Mac"}, {"Linux", "Linux"}}
)

// Device names a device by what its browser says of itself (User-Agent, RFC
// 9110, section 10.1.5), as coarsely as its owner needs to know it again:
// "Chrome on Android". No version and no model is kept. It is a reminder and no
// proof: a browser can say anything.
func Device(userAgent string) string {
	browser, system := first(browsers, userAgent), first(systems, userAgent)
	switch {
	case browser == "" && system == "":
		return "Unknown device"
	case system == "":
		return browser
	case browser == "":
		return "A browser on " + system
	}
	return browser + " on " + system
}

func first(marks []mark, text string) string {
	for _, m := range marks {
		if strings.Contains(text, m.word) {
			return m.name
		}
	}
	return ""
}
