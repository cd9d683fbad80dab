package turn

import (
	"io"
	"sync"
)

// Intake bounds what has come and waits for its turn. One firm may have as much of it as
// is left to others, so that something is always left. It is safe for concurrent use.
type Intake struct {
	Most int64 // bytes

	mu   sync.Mutex
	all  int64
	held map[string]int64
}

// Take returns a reader of what somebody of a firm sends, and what to call once it is not
// needed any more. size is what it is said to be, or -1; most is as much of it as is held at
// once, in bytes: what is read beyond counts for nothing. The error, of reading too, is
// ErrFull where that is more than the firm may have.
func (i *Intake) Take(firm string, from io.ReadCloser, size, most int64) (body io.ReadCloser, done func(), err error) {
	if size = min(size, most); size > 0 {
		if !i.add(firm, size) {
			return nil, nil, ErrFull
		}
		i.add(firm, -size) // it counts as it comes: who sends slowly holds little
	}
	t := &taken{ReadCloser: from, firm: firm, of: i, most: most}
	return t, func() { i.add(firm, -t.n) }, nil
}

// add reports whether a firm may hold n bytes more.
func (i *Intake) add(firm string, n int64) bool {
	i.mu.Lock()
	defer i.mu.Unlock()
	if n > 0 && i.held[firm]+n > i.Most-i.all {
		return false
	}
	if i.held == nil {
		i.held = map[string]int64{}
	}
	i.all += n
	if i.held[firm] += n; i.held[firm] == 0 {
		delete(i.held, firm)
	}
	return true
}

// taken counts what is read.
type taken struct {
	io.ReadCloser
	firm string
	of   *Intake
	n    int64
	most int64
}

func (t *taken) Read(p []byte) (int, error) {
	n, err := t.ReadCloser.Read(p)
	counts := min(int64(n), t.most-t.n)
	if !t.of.add(t.firm, counts) {
		return 0, ErrFull
	}
	t.n += counts
	return n, err
}
