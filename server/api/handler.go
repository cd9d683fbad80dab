package api

import (
	"context"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/standing"
)

// nothing is the request of a handler that needs none, and the answer of one
// that returns none.
type nothing struct{}

// answer is a body.
type answer[T any] struct{ Body T }

// list is a body that holds records.
type list[T any] struct {
	Items []T `json:"items"`
}

// shown answers with the view of what a service returned, or with its error.
func shown[T, U any](view func(T) U) func(T, error) (*answer[U], error) {
	return func(v T, err error) (*answer[U], error) {
		if err != nil {
			return nil, err
		}
		return &answer[U]{view(v)}, nil
	}
}

// listed answers with the views of the records that a service returned.
func listed[T, U any](view func(T) U) func([]T, error) (*answer[list[U]], error) {
	return shown(func(all []T) list[U] { return list[U]{each(all, view)} })
}

// each returns the views of records; none is an empty list and not null.
func each[T, U any](from []T, view func(T) U) []U {
	out := make([]U, 0, len(from))
	for _, v := range from {
		out = append(out, view(v))
	}
	return out
}

// same is the view of what is shown as it is.
func same[T any](v T) T { return v }

// all is the handler that lists what a service returns to whoever asks.
func all[T, U any](read func(context.Context, firm.Person) ([]T, error), view func(T) U) handler[nothing,
	answer[list[U]]] {
	return func(ctx context.Context, by firm.Person, _ *nothing) (*answer[list[U]], error) {
		return listed(view)(read(ctx, by))
	}
}

// reads is the handler that shows something of a room as it stands.
func reads[I ofRoom, O any](a *api, show func(*I, *standing.Standing) (*O, error)) handler[I, O] {
	return func(ctx context.Context, by firm.Person, in *I) (*O, error) {
		j, err := a.Desk.Read(ctx, by, (*in).room())
		if err != nil {
			return nil, err
		}
		return show(in, j)
	}
}

// does is the handler of a deed: act makes it of the request, and show answers
// with the room as it is afterwards.
func does[I ofRoom, O any](a *api, show func(*standing.Standing, error) (*O, error),
	act func(*I) (deed.Deed, error)) handler[I, O] {
	return func(ctx context.Context, by firm.Person, in *I) (*O, error) {
		d, err := act(in)
		if err != nil {
			return nil, err
		}
		return show(a.Desk.Do(ctx, by, (*in).room(), d))
	}
}

// changes is the handler of a deed that has to know the version of a record,
// which find finds in the room.
func changes[I seeing, T stored](a *api, find func(*I, *standing.Standing) (T, error),
	act func(in *I, seen int64) deed.Deed) handler[I, versioned[T]] {
	return func(ctx context.Context, by firm.Person, in *I) (*versioned[T], error) {
		seen, err := (*in).seen()
		if err != nil {
			return nil, err
		}
		j, err := a.Desk.Do(ctx, by, (*in).room(), act(in, seen))
		if err != nil {
			return nil, a.stale(ctx, by, *in, err, func(j *standing.Standing) (stored, error) { return find(in, j) })
		}
		return tagged(find(in, j))
	}
}
