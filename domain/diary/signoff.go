package diary

// ActSignOff is the act of a sign-off; its detail has the member sha256.
const ActSignOff = "sign_off"

// Signed is the part of the detail of a sign-off's entry that the proof relies
// on.
type Signed struct {
	SHA256 string `json:"sha256"` // in hexadecimal, over what the sign-off was based on
	// Evidence is that of the evidence; the oldest sign-offs keep none.
	Evidence string `json:"evidence,omitempty"`
}
