package firm_test

import (
	"crypto/sha256"
	"encoding/base64"
	"testing"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// A token is its firm's id and 256 bits that are never alike; what is stored is
// their SHA-256 (FIPS 180-4). That is above the 112 bits from which a plain
// hash is enough by OWASP ASVS 5.0, 6.5.2, and above the 128 of 7.2.3.
func TestTokensAreRandomAndKeptAsHashes(t *testing.T) {
	of, seen, ones := id.New[id.Firm](), map[firm.Hash]bool{}, 0
	const tokens = 1000
	for range tokens {
		token, hash := firm.NewToken(of)
		raw, err := base64.RawURLEncoding.DecodeString(token)
		if err != nil || len(raw) != len(of)+32 {
			t.Fatalf("%q: %d bytes (%v)", token, len(raw), err)
		}
		if want := firm.Hash(sha256.Sum256(raw[16:])); hash != want || seen[hash] {
			t.Fatalf("%q: kept as %x, want %x; seen before: %v", token, hash, want, seen[hash])
		}
		seen[hash] = true
		for _, b := range raw[16:] {
			for ; b != 0; b &= b - 1 {
				ones++
			}
		}
	}
	// Of 256,000 fair bits 128,000 are set, give or take 253; chance exceeds
	// ten times that less than once in 10^22 runs.
	if ones < 128_000-2_530 || ones > 128_000+2_530 {
		t.Errorf("%d of %d bits are set", ones, tokens*256)
	}
}
