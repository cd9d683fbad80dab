package firm

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Hash is the SHA-256 of a token's secret: all that is stored of it.
type Hash [32]byte

// NewToken makes a token of 256 random bits for a firm, and its hash. The
// firm's id is part of the token, so that looking it up needs no search across
// firms.
func NewToken(firm id.Firm) (token string, hash Hash) {
	var secret [32]byte
	rand.Read(secret[:])
	return base64.RawURLEncoding.EncodeToString(append(firm[:], secret[:]...)), sha256.Sum256(secret[:])
}

// ReadToken returns a token's firm and hash. Faults: NotFound.
func ReadToken(token string) (id.Firm, Hash, error) {
	raw, err := base64.RawURLEncoding.DecodeString(token)
	if err != nil || len(raw) != 48 || len(token) != 64 { // decoding skips line ends
		return id.Firm{}, Hash{}, noLink(err)
	}
	return id.Firm(raw[:16]), sha256.Sum256(raw[16:]), nil
}

func noLink(err error) error {
	return &fault.Error{Kind: fault.NotFound, Msg: "This link does not lead anywhere any more. Ask for a new one.",
		Err: err}
}
