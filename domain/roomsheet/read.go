package roomsheet

import (
	"fmt"
	"io"
	"reflect"
)

// Read reads one room sheet and checks it. What comes back is either a room
// that keeps every rule of Check, or an error: a *fault.Error of kind BadInput
// that lists everything wrong at once, each with its JSON path and what would
// mend it, or, if the source itself failed, the source's error. Read takes any
// bytes without panicking. Documents over 16 MiB are refused.
func Read(src io.Reader) (*Room, error) {
	data, err := io.ReadAll(io.LimitReader(src, mostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read the room sheet: %w", err)
	}
	r := &reader{}
	if len(data) > mostBytes {
		r.add("$", "the document is over 16 MiB", "Split it into several rooms")
		return nil, r.err()
	}
	root, bad := parse(data)
	if bad != nil {
		r.add(bad.Path, bad.Wrong, bad.Mend)
		return nil, r.err()
	}
	var room Room
	r.record(root, "$", "document", reflect.ValueOf(&room).Elem())
	check(&room, &r.faults)
	if err := r.err(); err != nil {
		return nil, err
	}
	return &room, nil
}
