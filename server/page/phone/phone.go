// Package phone is what a phone without signal is given and sends: the copy of a visit, and acts.
package phone

import "lathmark/server/page/kit"

// Pages are the handlers.
type Pages struct{ *kit.House }
