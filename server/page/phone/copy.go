package phone

import (
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"regexp"
	"runtime"
	"slices"
	"strings"

	"lathmark/domain/fault"
	"lathmark/server/page/kit"

	"github.com/labstack/echo/v4"
	"golang.org/x/sync/errgroup"
)

// mostCopied is the most pages that one phone is given to keep: some forty
// rooms with all their forms.
const mostCopied = 1000

// copied is one page as the phone keeps it, a line of the answer. Body is left
// out where the phone has it already.
type copied struct {
	Path string `json:"path"`
	Type string `json:"type"`
	// Tag stands for all of the page but what differs from one drawing of it to
	// the next.
	Tag string `json:"tag"`
	// Seq and Made are what the page says of itself: see Sheet.
	Seq  string  `json:"seq"`
	Made string  `json:"made"`
	Body *string `json:"body,omitempty"`
}

// copyEnd is the last line: without it the answer was cut short.
type copyEnd struct {
	Pages int `json:"pages"`
}

// Copy returns every page that the person's visits need, one a line, so that the
// phone can keep them. Each is drawn by the function that its own address is
// answered from, for the same viewer, so nobody is given a page that they could
// not open. The phone says in If-None-Match what it has.
// Whose copy it keeps it says, too: a page that is left open may be that of somebody who
// is no longer signed in.
func (p *Pages) Copy(c echo.Context) error {
	if whose := c.QueryParam("member"); whose != "" && whose != kit.Who(c).ID.String() {
		return &fault.Error{Kind: fault.Refused, Msg: "Somebody else is signed in here."}
	}
	leaves, err := p.leaves(c)
	if err != nil {
		return err
	}
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, "application/x-ndjson")
	h.Set(echo.HeaderContentEncoding, "gzip")
	packed := gzip.NewWriter(c.Response())
	lines, has, pages := json.NewEncoder(packed), tagsOf(c.Request().Header), 0
	for some := range slices.Chunk(leaves, 64) { // as many as are held in memory at once
		drawn, err := drawn(c.Request().Context(), some)
		if err != nil {
			return err
		}
		for _, one := range drawn[:min(len(drawn), mostCopied-pages)] {
			if has[one.Tag] {
				one.Body = nil
			}
			if err := lines.Encode(one); err != nil {
				return err
			}
			pages++
		}
	}
	if err := lines.Encode(copyEnd{pages}); err != nil {
		return err
	}
	return packed.Close()
}

// drawn draws leaves, several at once, and leaves out those that this person is
// refused. It ends early when the phone has gone.
func drawn(ctx context.Context, leaves []leaf) ([]copied, error) {
	all := make([]copied, len(leaves))
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, l := range leaves {
		g.Go(func() (err error) {
			if err = ctx.Err(); err == nil {
				all[i], err = l.draw()
			}
			if kind := fault.KindOf(err); kind != "" && kind != fault.Down {
				return nil // it has no body then
			}
			all[i].Path = l.path
			return err
		})
	}
	err := g.Wait()
	return slices.DeleteFunc(all, func(one copied) bool { return one.Body == nil }), err
}

// tagsOf are the tags of the pages that the phone has (RFC 9110, section
// 13.1.2).
func tagsOf(h http.Header) map[string]bool {
	out := map[string]bool{}
	for _, line := range h.Values("If-None-Match") {
		for _, tag := range strings.Split(line, ",") {
			out[strings.Trim(tag, ` "`)] = true
		}
	}
	return out
}

// drawnAnew is what differs from one drawing of a page to the next: the tokens
// of its forms, and what its body element says of the moment.
var drawnAnew = regexp.MustCompile(`name="token" value="[^"]*"| data-(?:seqs?|made)="[^"]*"`)

func tagOf(page []byte) string {
	sum := sha256.Sum256(drawnAnew.ReplaceAll(page, nil))
	return hex.EncodeToString(sum[:8])
}
