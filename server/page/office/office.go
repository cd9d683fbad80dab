// Package office is the firm: its people, its settings, its build-ups, and one's own sessions and keys.
package office

import "lathmark/server/page/kit"

// Pages are the handlers.
type Pages struct{ *kit.House }
