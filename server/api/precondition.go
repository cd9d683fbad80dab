package api

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/standing"
)

// IfMatch is part of every request that changes what two people may change at
// once. The document says that it is needed; that it is missing is told apart
// from what is wrong with a request, so it is not marked so here.
type IfMatch struct {
	Tag string `header:"If-Match" doc:"Needed. The ETag of the record that you saw, such as \"3\"."`
}

// seen is the version that was seen. Anything that is no tag of ours is a
// version that no record has.
func (m IfMatch) seen() (int64, error) {
	if m.Tag == "" || m.Tag == "*" {
		return 0, plain(http.StatusPreconditionRequired,
			"Say which version you saw: somebody else may have changed it since.",
			"header.If-Match", "it is missing, or means any version", "Send the ETag of the record that you saw")
	}
	text, ours := strings.CutPrefix(m.Tag, `"`)
	text, closed := strings.CutSuffix(text, `"`)
	n, err := strconv.ParseInt(text, 10, 64)
	if !ours || !closed || err != nil || n < 1 {
		return -1, nil //nolint:nilerr // a tag that was never given out matches no version
	}
	return n, nil
}

// yours is what was asked for, where the request has no body.
func (IfMatch) yours() any { return nil }

// seeing is a write to something of a room that somebody saw.
type seeing interface {
	ofRoom
	seen() (int64, error)
	yours() any
}

// tag is the entity tag of a version.
func tag(version int64) string { return `"` + strconv.FormatInt(version, 10) + `"` }

// versioned is a body with its entity tag.
type versioned[T any] struct {
	ETag string `header:"ETag" doc:"The version, for If-Match."`
	Body T
}

// stored is a view that knows its version.
type stored interface{ version() int64 }

// tagged answers with a view and its version, or with an error.
func tagged[T stored](v T, err error) (*versioned[T], error) {
	if err != nil {
		return nil, err
	}
	return &versioned[T]{tag(v.version()), v}, nil
}

// stale tells a write that came second from other conflicts: the record that
// find finds has moved on from the version that was seen. It shows both
// versions. All other errors stay what they are.
func (a *api) stale(ctx context.Context, by firm.Person, in seeing, err error,
	find func(*standing.Standing) (stored, error)) error {
	seen, _ := in.seen()
	return outdated(err, seen, in.yours(), func() (stored, error) {
		j, err := a.Desk.Read(ctx, by, in.room())
		if err != nil {
			return nil, err
		}
		return find(j)
	})
}

// outdated is stale of a record that find reads.
func outdated(err error, seen int64, yours any, find func() (stored, error)) error {
	if fault.KindOf(err) != fault.Conflict {
		return err
	}
	theirs, missing := find()
	if missing != nil || theirs.version() == seen {
		return err
	}
	p := NewProblem(http.StatusPreconditionFailed, err)
	p.Theirs, p.Yours, p.etag = theirs, yours, tag(theirs.version())
	return p
}

// made refuses ids that their maker did not make as version 7 (RFC 9562), which
// sorts by time. A path of several has # for the place of each.
func made[T ~[16]byte](path string, given ...T) error {
	for i, g := range given {
		if g[6]>>4 != 7 || g[8]>>6 != 0b10 {
			return &fault.Error{Kind: fault.BadInput, Msg: "A new record needs an id that you made.",
				Fields: []fault.Field{{Path: strings.Replace(path, "#", strconv.Itoa(i), 1), Wrong: "it is no UUID of version 7",
					Mend: "Make one for the record and send it again with every repeat"}}}
		}
	}
	return nil
}
