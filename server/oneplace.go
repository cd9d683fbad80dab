package server

import "sync"

// crowd is of how many people who are signed in it is odd that all come from one address.
const crowd = 10

// onePlace finds out whether everybody comes from one address, as they do behind a proxy
// that is not trusted: they would share one limit then. It is safe for concurrent use.
type onePlace struct {
	mu      sync.Mutex
	address string
	who     map[string]bool
	settled bool
}

// saw reports, once, that so many came from one address and nobody from another.
func (o *onePlace) saw(address, who string) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	switch {
	case o.settled:
		return false
	case o.who == nil:
		o.address, o.who = address, map[string]bool{}
	case o.address != address:
		o.settled, o.who = true, nil
		return false
	}
	o.who[who] = true
	o.settled = len(o.who) >= crowd
	return o.settled
}
