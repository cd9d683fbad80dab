package drawing

import "html/template"

// symbols holds symbols of installation drawings, drawn by us after the idea of
// those in IEC 60617 (luminaire outlet 11-15: a cross in a ring; switch: a ring
// with a bent stroke; socket outlet: a half ring on a stem). Numbers and shapes
// are from memory. Each fits a square of 24 units about the origin.
var symbols = map[string]string{
	"downlight": `<circle class="sym" r="10"/><path class="sym" d="M-7.07 -7.07L7.07 7.07M-7.07 7.07L7.07 -7.07"/>`,
	"pendant":   `<path class="sym" d="M-9 -9L9 9M-9 9L9 -9"/><circle class="sym-fill" r="2.6"/>`,
	"fan":       `<circle class="sym" r="10"/><path class="sym" d="M0 0C-9 -7 -9 7 0 0C9 -7 9 7 0 0Z"/>`,
	"switch":    `<circle class="sym" cx="-3" cy="3" r="5"/><path class="sym" d="M0.5 -0.5L9 -9L11.5 -6.5"/>`,
	"socket":    `<path class="sym" d="M-9 4A9 9 0 0 1 9 4M0 -5V-11M-9 -5H9"/>`,
	"sensor": `<rect class="sym" x="-9" y="-9" width="18" height="18"/>` +
		`<path class="sym" d="M-5 4A7 7 0 0 1 5 4M-2.5 4A3 3 0 0 1 2.5 4"/>`,
	"pipe":  `<circle class="sym" r="8"/><circle class="sym-fill" r="2.6"/>`,
	"waste": `<circle class="sym" r="10"/><circle class="sym" r="5.5"/>`,
	"duct":  `<rect class="sym" x="-9" y="-9" width="18" height="18"/><path class="sym" d="M-9 -9L9 9"/>`,
	"other": `<circle class="sym" r="9"/><path class="sym" d="M-9 0H9M0 -9V9"/>`,
}

// symbolOf picks the symbol of a kind of position as the schedule names it.
func symbolOf(kind string) string {
	switch kind {
	case "downlight", "pendant", "fan", "switch", "socket", "sensor", "waste", "duct":
		return symbols[kind]
	case "luminaire", "light":
		return symbols["pendant"]
	case "switch drop":
		return symbols["switch"]
	case "pipe", "pipe tail":
		return symbols["pipe"]
	}
	return symbols["other"]
}

// Symbol returns just the symbol of a kind of position, for a line of a
// schedule.
func Symbol(kind string) template.HTML {
	return template.HTML(`<svg xmlns="http://www.w3.org/2000/svg" class="symbol" viewBox="-13 -13 26 26" width="22" ` +
		`height="22" aria-hidden="true">` +
		symbolOf(kind) + `</svg>`)
}
