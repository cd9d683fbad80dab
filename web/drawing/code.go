package drawing

import (
	"fmt"
	"html/template"
	"strings"

	qrcode "github.com/skip2/go-qrcode"
)

// quiet is the white margin that a QR code needs on every side, in modules
// (ISO/IEC 18004; from memory).
const quiet = 4

// Code draws a text as a QR code: black on white by day and by night, because
// readers look for dark on light. says describes it to those who cannot see it.
// A module is one unit. It corrects up to 15 % of damage by dust and creases
// (level M). The error is that of a text that is too long, some 2,300 letters.
func Code(text, says string) (template.HTML, error) {
	q, err := qrcode.New(text, qrcode.Medium)
	if err != nil {
		return "", err
	}
	q.DisableBorder = true
	bitmap := q.Bitmap()
	size := len(bitmap) + 2*quiet
	var dark strings.Builder
	for y, row := range bitmap {
		for x := 0; x < len(row); x++ {
			from := x
			for x < len(row) && row[x] {
				x++
			}
			if x > from {
				fmt.Fprintf(&dark, "M%d %dh%dv1h-%dz", from+quiet, y+quiet, x-from, x-from)
			}
		}
	}
	return template.HTML(fmt.Sprintf(
		`<svg xmlns="http://www.w3.org/2000/svg" class="code" viewBox="0 0 %d %d" role="img" aria-label="%s" `+
			`shape-rendering="crispEdges">`+
			`<rect width="%d" height="%d" fill="#fff"/><path fill="#000" d="%s"/></svg>`, size, size,
		template.HTMLEscapeString(says), size, size, dark.String())), nil
}
