// Package recent keeps what was used last, within a bound.
package recent

import (
	"container/list"
	"sync"
)

// Cache keeps values by their keys; once they weigh more than Most together,
// those that nobody asked for longest go. Its zero value keeps nothing but the
// last. It is safe for many at once.
type Cache[K comparable, V any] struct {
	// Most is the bound, in the unit of the weights: bytes.
	Most int

	mu     sync.Mutex
	by     map[K]*list.Element
	order  list.List // of kept, the last used first
	weight int
}

type kept[K comparable, V any] struct {
	key    K
	value  V
	weight int
}

// Get returns the value of a key; false where there is none.
func (c *Cache[K, V]) Get(key K) (v V, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.by[key]
	if !ok {
		return v, false
	}
	c.order.MoveToFront(e)
	return e.Value.(kept[K, V]).value, true
}

// Put keeps a value in the place of the one that the key had, unless that is to
// stay: stays may be nil.
func (c *Cache[K, V]) Put(key K, v V, weight int, stays func(old V) bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.by == nil {
		c.by = map[K]*list.Element{}
	}
	if e, ok := c.by[key]; ok {
		if stays != nil && stays(e.Value.(kept[K, V]).value) {
			return
		}
		c.drop(e)
	}
	c.by[key] = c.order.PushFront(kept[K, V]{key, v, weight})
	c.weight += weight
	for c.weight > c.Most && c.order.Len() > 1 {
		c.drop(c.order.Back())
	}
}

// Own returns the value of a key, which it makes where there is none.
func (c *Cache[K, V]) Own(key K, weight int, anew func() V) (own V) {
	own, ok := c.Get(key)
	if ok {
		return own
	}
	own = anew()
	c.Put(key, own, weight, func(first V) bool {
		own = first
		return true
	})
	return own
}

func (c *Cache[K, V]) drop(e *list.Element) {
	one := c.order.Remove(e).(kept[K, V])
	delete(c.by, one.key)
	c.weight -= one.weight
}
