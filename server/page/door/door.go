// Package door signs people in and out: links, providers, passkeys, codes.
package door

import "lathmark/server/page/kit"

// Pages are the handlers.
type Pages struct{ *kit.House }
