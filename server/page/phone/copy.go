package phone

import (
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"regexp"
	"slices"
	"strings"

	"lathmark/domain/fault"
	"lathmark/server/page/kit"

	"github.com/labstack/echo/v4"
)

// mostCopied is the most pages that one phone is given to keep: some forty
// rooms with all their forms.
const mostCopied = 1000

// pagesAsked is how many pages of a copy cost as much as one request: they are drawn from
// what was read once.
const pagesAsked = 5

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
	var leaves []leaf
	if err := p.InTurn(c, func(func() error) (err error) {
		leaves, err = p.leaves(c)
		return err
	}); err != nil {
		return err
	}
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, "application/x-ndjson")
	h.Set(echo.HeaderContentEncoding, "gzip")
	packed := gzip.NewWriter(c.Response())
	lines, has, pages := json.NewEncoder(packed), tagsOf(c.Request().Header), 0
	for some := range slices.Chunk(leaves, 64) { // as many as are held in memory at once
		var all []copied
		if err := p.InTurn(c, func(pause func() error) (err error) {
			all, err = drawn(some, pause)
			return err
		}); err != nil {
			return err
		}
		for _, one := range all[:min(len(all), mostCopied-pages)] {
			if has[one.Tag] {
				one.Body = nil
			}
			if err := lines.Encode(one); err != nil {
				return err
			}
			pages++
		}
		if pages == mostCopied {
			break
		}
	}
	kit.Cost(c, pages/pagesAsked)
	if err := lines.Encode(copyEnd{pages}); err != nil {
		return err
	}
	return packed.Close()
}

// drawn draws leaves, and leaves out those that this person is refused. It ends early when
// the phone has gone.
func drawn(leaves []leaf, pause func() error) (all []copied, err error) {
	for _, l := range leaves {
		if err := pause(); err != nil {
			return nil, err
		}
		one, err := l.draw()
		switch kind := fault.KindOf(err); {
		case kind != "" && kind != fault.Down:
			continue
		case err != nil:
			return nil, err
		}
		one.Path = l.path
		all = append(all, one)
	}
	return all, nil
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
