package firm

import "context"

// In runs do in one transaction of the person who asks: it sees no other firm's
// records, and of the person's own firm only the jobs that the person may see.
// For the firm itself see Whole. It commits if do returns nil and rolls back
// otherwise.
type In[Tx any] func(ctx context.Context, by Person, do func(Tx) error) error

// Do is In, if the policy lets by do it. Faults: Refused, and those of do.
func (in In[Tx]) Do(ctx context.Context, by Person, may Policy, do func(Tx) error) error {
	if err := may(by); err != nil {
		return err
	}
	return in(ctx, by, do)
}

// Ask is In.Do for what returns something.
func Ask[Tx, T any](ctx context.Context, in In[Tx], by Person, may Policy, ask func(Tx) (T, error)) (out T, err error) {
	err = in.Do(ctx, by, may, func(tx Tx) error {
		out, err = ask(tx)
		return err
	})
	return out, err
}

// Anyone is the policy of what needs no right.
func Anyone(Person) error { return nil }
