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
