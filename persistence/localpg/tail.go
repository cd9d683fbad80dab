package localpg

import (
	"io"
	"strings"
	"sync"
)

// tail passes what is written to it on to a writer and remembers the end of it,
// to explain a failed start.
type tail struct {
	to io.Writer // nil for nowhere

	mu   sync.Mutex
	last []byte
}

const tailBytes = 4096

func (t *tail) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.last = append(t.last, p...)
	t.last = t.last[max(0, len(t.last)-tailBytes):]
	if t.to != nil {
		// A log that cannot be written must not stop the server.
		_, _ = t.to.Write(p)
	}
	return len(p), nil
}

func (t *tail) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return strings.TrimSpace(string(t.last))
}
