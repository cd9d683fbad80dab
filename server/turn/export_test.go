package turn

import "runtime"

// AwaitLine waits until n are in line.
func (t *Turns) AwaitLine(n int) {
	for {
		t.mu.Lock()
		there := len(t.line)
		t.mu.Unlock()
		if there == n {
			return
		}
		runtime.Gosched()
	}
}
