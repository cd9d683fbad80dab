package room

import (
	"crypto/sha256"
	"encoding/json"
	"sync"

	"lathmark/domain/roomsheet"
)

// answers keeps the geometry's answers by the content of the sheet, so that a
// room that has not changed is not worked out again.
type answers struct {
	mu   sync.Mutex
	kept map[[32]byte][]roomsheet.Solved
}

// most answers kept; one of a room is some tens of kilobytes.
const most = 512

// of checks a sheet and returns its answers, which are shared: nobody changes
// them. Faults: BadInput.
func (a *answers) of(sheet *roomsheet.Room) ([]roomsheet.Solved, error) {
	text, err := json.Marshal(sheet)
	if err != nil {
		return nil, err
	}
	key := sha256.Sum256(text)
	a.mu.Lock()
	solved, ok := a.kept[key]
	a.mu.Unlock()
	if ok {
		return solved, nil
	}
	if err := check(sheet); err != nil {
		return nil, err
	}
	solved = sheet.Solve()
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.kept == nil || len(a.kept) >= most {
		a.kept = map[[32]byte][]roomsheet.Solved{}
	}
	a.kept[key] = solved
	return solved, nil
}

// check is the room sheet's own, but for a room that has no surface yet.
func check(sheet *roomsheet.Room) error {
	if len(sheet.Surfaces) > 0 {
		return roomsheet.Check(sheet)
	}
	bare := *sheet
	bare.Surfaces = []roomsheet.Surface{{ID: "floor", Kind: "floor"}}
	return roomsheet.Check(&bare)
}
