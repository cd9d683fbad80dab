package api

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/standing"
)

// IfMatch is part of every request that changes what two people may change at
// once. The document says that it is needed; that it is missing is told apart
// from what is wrong with a request, so it is not marked so here.
type IfMatch struct {
	Tag string `header:"If-Match" doc:"Needed. The ETag of the record that you saw, such as \"3\"."`
}

// version is the version that was seen. Anything that is no tag of ours is a
// version that no record has.
func (m IfMatch) version() (int64, error) {
	if m.Tag == "" || m.Tag == "*" {
		return 0, plain(http.StatusPreconditionRequired,
			"Say which version you saw: somebody else may have changed it since.",
			"header.If-Match", "it is missing, or stands for any version", "Send the ETag of the record that you saw")
	}
	text, ours := strings.CutPrefix(m.Tag, `"`)
	text, closed := strings.CutSuffix(text, `"`)
	n, err := strconv.ParseInt(text, 10, 64)
	if !ours || !closed || err != nil || n < 1 {
		return -1, nil //nolint:nilerr // a tag that was never given out matches no version
	}
	return n, nil
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

func tagged[T stored](v T) *versioned[T] { return &versioned[T]{tag(v.version()), v} }

// stale tells a write that came second from other conflicts: the record has
// moved on from the version that was seen. It shows both versions. All other
// errors stay what they are.
func stale[T stored](ctx context.Context, a *api, by firm.Person, of id.Room, err error, seen int64, yours any,
	find func(*standing.Standing) (T, bool)) error {
	return outdated(err, seen, yours, func() (none T, there bool) {
		j, err := a.Room.Read(ctx, by, of)
		if err != nil {
			return none, false
		}
		return find(j)
	})
}

// outdated is stale of a record that find reads.
func outdated[T stored](err error, seen int64, yours any, find func() (T, bool)) error {
	if fault.KindOf(err) != fault.Conflict {
		return err
	}
	theirs, there := find()
	if !there || theirs.version() == seen {
		return err
	}
	p := NewProblem(http.StatusPreconditionFailed, err)
	p.Theirs, p.Yours, p.etag = theirs, yours, tag(theirs.version())
	return p
}

// made refuses an id that its maker did not make as version 7 (RFC 9562), which
// sorts by time.
func made[T ~[16]byte](path string, given T) error {
	if given[6]>>4 == 7 && given[8]>>6 == 0b10 {
		return nil
	}
	return &fault.Error{Kind: fault.BadInput, Msg: "A new record needs an id that you made.",
		Fields: []fault.Field{{Path: path, Wrong: "it is no UUID of version 7",
			Mend: "Make one for the record and send it again with every repeat"}}}
}
