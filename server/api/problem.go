package api

import (
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/server/turn"

	"github.com/danielgtaylor/huma/v2"
)

// ProblemType is the content type of a problem.
const ProblemType = "application/problem+json"

// Problem is an answer that is none: RFC 9457 problem details, with the list
// of what is wrong.
type Problem struct {
	Title  string        `json:"title" doc:"What sort of problem it is: the name of the status."`
	Status int           `json:"status" doc:"The HTTP status."`
	Detail string        `json:"detail,omitempty" doc:"What is wrong, in a sentence for people."`
	Errors []fault.Field `json:"errors,omitempty" doc:"Each thing that is wrong: where, what, and how to correct it."`
	// Theirs and Yours are the two versions of what two people changed.
	Theirs any `json:"theirs,omitempty" doc:"With status 412: the record as it stands."`
	Yours  any `json:"yours,omitempty" doc:"With status 412: what was asked for."`

	cause error
	etag  string
	wait  time.Duration
}

// NewProblem is the problem of an error that is answered with a status. A
// fault tells what it says; of any other error nothing is told.
func NewProblem(status int, err error) *Problem {
	p := &Problem{Title: http.StatusText(status), Status: status, cause: err}
	var f *fault.Error
	switch {
	case errors.As(err, &f):
		p.Detail, p.Errors = f.Msg, f.Fields
	case status == http.StatusUnauthorized:
		p.Detail = "Sign in first."
	case status == http.StatusTooManyRequests:
		p.Detail = "That is too much at once. Wait a moment, then send it again."
	case status >= http.StatusInternalServerError:
		p.Detail = "Something went wrong here. Everything saved before is safe."
	}
	return p
}

// problem is the answer for an error that a service or a handler gave.
func (a *api) problem(err error) *Problem {
	var p *Problem
	if errors.As(err, &p) {
		return p
	}
	return NewProblem(a.status(err), err)
}

// JSON is the problem as it goes out.
func (p *Problem) JSON() ([]byte, error) { return json.Marshal(p) }

// Error is the problem in a line, for the log. What somebody sent is not in it.
func (p *Problem) Error() string {
	if p.cause != nil {
		return p.cause.Error()
	}
	return strconv.Itoa(p.Status) + " " + p.Title
}

// Unwrap returns the cause.
func (p *Problem) Unwrap() error { return p.cause }

// GetStatus is the HTTP status.
func (p *Problem) GetStatus() int { return p.Status }

// GetHeaders are headers that go with the problem.
func (p *Problem) GetHeaders() http.Header {
	h := http.Header{}
	if p.etag != "" {
		h.Set("ETag", p.etag)
	}
	return h
}

// ContentType is that of problem details.
func (p *Problem) ContentType(string) string { return ProblemType }

func (p *Problem) retryAfter() string { return strconv.Itoa(int(p.wait.Seconds()) + 1) }

// plain is a problem that no fault stands behind.
func plain(status int, detail, path, wrong, mend string) *Problem {
	return &Problem{Title: http.StatusText(status), Status: status, Detail: detail,
		Errors: []fault.Field{{Path: path, Wrong: wrong, Mend: mend}}}
}

// huma's own errors, those of reading a request, take our shape, and arrays
// are never null, and names are told apart by their case. These are settings of
// huma as a whole, made before anything is registered; nothing else here uses it.
func init() {
	huma.NewError = unread
	huma.DefaultArrayNullable = false
	huma.ValidateStrictCasing = true
}

// unread is the problem of a request that cannot be read. What was sent is
// not repeated. A request that breaks the document is bad input like any
// other: 400, as 422 is for obstacles.
func unread(status int, _ string, errs ...error) huma.StatusError {
	if status == http.StatusUnprocessableEntity {
		status = http.StatusBadRequest
	}
	switch sent := errors.Join(errs...); { // what came of a body that was not read to its end
	case errors.Is(sent, turn.ErrFull):
		return NewProblem(http.StatusTooManyRequests, sent)
	case errors.Is(sent, io.ErrUnexpectedEOF):
		return plain(http.StatusBadRequest, "The request did not come through in full.", "$", "it ends early",
			"Send it again")
	}
	p := &Problem{Title: http.StatusText(status), Status: status}
	switch status {
	case http.StatusBadRequest:
		p.Detail = notDescribed
	case http.StatusRequestEntityTooLarge:
		p.Detail = "This is more than fits into one request."
	case http.StatusUnsupportedMediaType:
		p.Detail = "Send JSON, as application/json."
	}
	for _, err := range errs {
		var d huma.ErrorDetailer
		if errors.As(err, &d) {
			p.Errors = append(p.Errors, mending(d.ErrorDetail()))
		}
	}
	if len(p.Errors) == 0 && status == http.StatusBadRequest {
		p.Errors = []fault.Field{{Path: "$", Wrong: "there is no body", Mend: asDocumented}}
	}
	return p
}

const notDescribed = "This request is not what the document describes."

const asDocumented = "Give it as " + Prefix + "/openapi.json describes it"

// mending is one thing that huma found. The message of a text that is no JSON
// could quote it, so it is told in our own words.
func mending(d *huma.ErrorDetail) fault.Field {
	f := fault.Field{Path: strings.TrimPrefix(d.Location, "body."), Wrong: d.Message, Mend: asDocumented}
	if b, is := d.Value.(barred); is {
		f.Wrong = string(b)
	}
	if f.Path == "body" {
		f.Path = "$"
		if _, isText := d.Value.(string); isText {
			f.Wrong = "it is no JSON, or not of the kind described"
		}
	}
	if wrong, _, quoted := strings.Cut(f.Wrong, ": "); quoted {
		f.Wrong = wrong
	}
	return f
}
