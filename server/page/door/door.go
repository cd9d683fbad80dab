// Package door is how people come in and go out: sign-in, links, providers, passkeys, codes.
package door

import "lathmark/server/page/kit"

// Pages are the handlers.
type Pages struct{ *kit.House }
