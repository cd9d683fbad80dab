package api_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/firm"
)

// foremans are the operations that a trade may not do. The owner does what the
// foreman does.
var foremans = []string{"saveBuildUp", "addJob", "clientLink", "endClientLink", "addRoom", "importRoom", "changeRoom",
	"addSurface",
	"removeDatum", "staysBare", "planBuildUp", "schedule", "pasteSchedule", "copySchedule", "copyRoom", "changePosition",
	"hold", "release", "omit",
	"wantAgain", "giveSnag", "reopenSnag",
	"signOff", "reopen", "changeJob", "removeJob", "closeJob", "reopenJob", "removeRoom"}

// Who may do what: every operation, asked by each role. A client who is signed
// in sees who they are; how the job goes they see by their link.
func TestWhoMayDoWhat(t *testing.T) {
	s := newSite(t)
	x := s.held()
	own := ids{"stage": "first_fix"}
	sent := bodies(t, x)
	sent["addJob"] = m{"id": new7(), "name": "1 Mill Lane"}
	sent["saveBuildUp"] = m{"name": "board", "layers": []m{{"name": "board", "thickness": 12.5, "stage": "boarding"}}}
	roles := map[firm.Role]firm.Person{firm.Owner: s.Owner, firm.Foreman: s.Foreman, firm.Trade: s.Electrician,
		firm.Client: s.Add(t, "Cleo Marsh", firm.Client, "")}
	var listed []string
	for route, op := range operations(t) {
		method, path, _ := strings.Cut(route, " ")
		if len(op.Security) > 0 {
			continue
		}
		if slices.Contains(foremans, op.OperationID) {
			listed = append(listed, op.OperationID)
		}
		for role, by := range roles {
			refused := role == firm.Client && op.OperationID != "me" || role == firm.Trade && slices.Contains(foremans,
				op.OperationID)
			r := s.request(by, method, own.fill(x.fill(path))+queries[op.OperationID], sent[op.OperationID])
			r.Header.Set("If-Match", `"77"`)
			if w := s.do(r); (w.Code == http.StatusForbidden) != refused || w.Code == http.StatusUnauthorized ||
				w.Code == http.StatusInternalServerError {
				t.Errorf("%s by the %s answers %d, refused: %v; %s", op.OperationID, role, w.Code, refused, w.Body)
			}
		}
	}
	if len(listed) != len(foremans) {
		t.Errorf("of %v only %v are there", foremans, listed)
	}
}
