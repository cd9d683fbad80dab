package recent_test

import (
	"testing"

	"lathmark/domain/recent"
)

func TestCache(t *testing.T) {
	c := recent.Cache[string, int]{Most: 10}
	c.Put("a", 1, 4, nil)
	c.Put("b", 2, 4, nil)
	if v, ok := c.Get("a"); !ok || v != 1 {
		t.Fatalf("a is %d, %v", v, ok)
	}
	c.Put("c", 3, 4, nil) // over the bound: b was not used for longest
	if _, ok := c.Get("b"); ok {
		t.Error("b is still there")
	}
	c.Put("c", 4, 4, func(old int) bool { return old == 3 })
	if v, _ := c.Get("c"); v != 3 {
		t.Errorf("c is %d, and was to stay", v)
	}
	c.Put("c", 5, 7, nil)
	if _, ok := c.Get("a"); ok {
		t.Error("a is still there, though c grew")
	}
	c.Put("large", 6, 100, nil) // the last one put stays, whatever it weighs
	if _, ok := c.Get("large"); !ok {
		t.Error("what was put last is gone")
	}
}
