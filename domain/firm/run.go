package firm

import "context"

// Do runs do in a transaction of by if the policy lets by do it. Faults: Refused,
// and those of do.
func Do[Tx any](ctx context.Context, in func(context.Context, Person, func(Tx) error) error, by Person, may Policy,
	do func(Tx) error) error {
	if err := may(by); err != nil {
		return err
	}
	return in(ctx, by, do)
}

// Ask is Do for what returns something.
func Ask[Tx, T any](ctx context.Context, in func(context.Context, Person, func(Tx) error) error, by Person, may Policy,
	ask func(Tx) (T, error)) (out T, err error) {
	err = Do(ctx, in, by, may, func(tx Tx) error {
		out, err = ask(tx)
		return err
	})
	return out, err
}

// Anyone is the policy of what needs no right.
func Anyone(Person) error { return nil }
