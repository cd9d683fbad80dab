package kit

import (
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"

	"github.com/labstack/echo/v4"
)

// Answer is what came of an act, as a phone is told.
type Answer struct {
	ID     string        `json:"id"`
	Answer deed.Word     `json:"answer"`
	Says   string        `json:"says,omitempty"`
	Mine   string        `json:"mine,omitempty"`
	Theirs string        `json:"theirs,omitempty"`
	Fields []fault.Field `json:"fields,omitempty"`
	Go     string        `json:"go,omitempty"` // page to look at next
}

// AsksForJSON reports whether a request wants its answer for a script.
func AsksForJSON(c echo.Context) bool {
	return strings.Contains(c.Request().Header.Get(echo.HeaderAccept), echo.MIMEApplicationJSON)
}

// HasTag reports whether who asks has what a tag stands for, by If-None-Match, or has
// anything at all by the star (RFC 9110, section 13.1.2: the comparison is weak).
func HasTag(c echo.Context, tag string) bool {
	for _, one := range strings.Split(c.Request().Header.Get("If-None-Match"), ",") {
		if one = strings.TrimPrefix(strings.TrimSpace(one), "W/"); one == tag || one == "*" {
			return true
		}
	}
	return false
}
