package dbtest

import (
	"context"
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/proof"
)

// Proofs returns what a check of every job of the firm comes to.
func (s *Site) Proofs(t testing.TB) []proof.Report {
	t.Helper()
	return ProofsOf(t, s.Proof, s.Owner.Firm)
}

// ProofsOf is Site.Proofs for any firm.
func ProofsOf(t testing.TB, by *proof.Service, of id.Firm) []proof.Report {
	t.Helper()
	all, err := by.All(context.WithoutCancel(t.Context()), of)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Findings returns everything that checks found.
func Findings(all []proof.Report) (out []proof.Finding) {
	for _, r := range all {
		out = append(out, r.Findings...)
	}
	return out
}

// Holds fails the test where a check of any job of the firm finds something: whatever was
// done was done through the program.
func (s *Site) Holds(t testing.TB) {
	t.Helper()
	HoldsFor(t, s.Proof, s.Owner.Firm)
}

// HoldsFor is Site.Holds for any firm.
func HoldsFor(t testing.TB, by *proof.Service, of id.Firm) {
	t.Helper()
	for _, r := range ProofsOf(t, by, of) {
		for _, f := range r.Findings {
			t.Errorf("%s, %s: %s", r.Name, f.Room, f.Says)
		}
	}
}
