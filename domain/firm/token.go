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
		return id.Firm{}, Hash{}, &fault.Error{Kind: fault.NotFound, Msg: noLink, Err: err}
	}
	return id.Firm(raw[:16]), sha256.Sum256(raw[16:]), nil
}

// What people are told whose link, code, key or passkey is not there, or no longer.
const (
	noLink    = "This link no longer works. Ask for a new one."
	noCode    = "This code no longer works. Ask the foreman for a new one."
	noKey     = "There is no such key, or it has ended."
	noAttempt = "This sign-in was used already, or took too long. Start again."
	noMember  = "There is no such person in the firm."
	// noPasskey is the same for everything that does not check out.
	noPasskey = "This passkey no longer works. Ask the foreman for a code, or the owner for a link."
)

// gone returns a NotFound with a message in place of another fault, or of none.
// Other errors, and that the records are down, it returns as they are.
func gone(msg string, err error) error {
	if kind := fault.KindOf(err); err != nil && (kind == "" || kind == fault.Down) {
		return err
	}
	return &fault.Error{Kind: fault.NotFound, Msg: msg, Err: err}
}

// present returns a member who has not left.
func present(m Member, err error) (Member, error) {
	if err != nil || !m.LeftAt.IsZero() {
		return Member{}, gone(noMember, err)
	}
	return m, nil
}
