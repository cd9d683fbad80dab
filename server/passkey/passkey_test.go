package passkey_test

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
	"lathmark/server/passkey"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

const base = "https://lathmark.example"

// device is a phone with one key pair, implemented by hand.
type device struct {
	key    *ecdsa.PrivateKey
	id     []byte
	handle []byte
	count  uint32
	origin string
	rp     string
}

// newDevice makes a key pair and registers it as one of p's.
func newDevice(t *testing.T, s *dbtest.Site, d *passkey.Verifier, p firm.Person) (*device, firm.Passkey) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	v := &device{key: key, id: []byte(rand.Text()), handle: firm.Handle(p.Firm, p.ID), count: 1, origin: base,
		rp: "lathmark.example"}
	pub, err := key.PublicKey.Bytes() // 4, x, y
	if err != nil {
		t.Fatal(err)
	}
	// A COSE key (RFC 9053, section 7.1.1): type EC2, ES256, P-256, x, y.
	cose := append([]byte{0xa5, 1, 2, 3, 0x26, 0x20, 1, 0x21, 0x58, 32}, pub[1:33]...)
	cose = append(append(cose, 0x22, 0x58, 32), pub[33:]...)
	challenge := []byte(rand.Text())
	if err := s.Firm.NewChallenge(t.Context(), challenge); err != nil {
		t.Fatal(err)
	}
	k, err := s.Firm.AddPasskey(t.Context(), p, id.Session{}, challenge, "my phone", func() (firm.Passkey, error) {
		return firm.Passkey{Credential: v.id, PublicKey: cose, Count: 1}, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return v, k
}

// asked returns a challenge, as a browser gets it.
func asked(t *testing.T, d *passkey.Verifier) string {
	t.Helper()
	o, err := d.BeginSignIn(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	// section 13.4.3: 16 bytes at least
	if o.Response.RelyingPartyID != "lathmark.example" || len(o.Response.Challenge) < 16 ||
		len(o.Response.AllowedCredentials) != 0 {
		t.Errorf("asked %+v", o.Response)
	}
	return o.Response.Challenge.String()
}

// answers signs a challenge (section 6.3.3).
func (v *device) answers(t *testing.T, challenge string) []byte {
	t.Helper()
	v.count++
	client, err := json.Marshal(map[string]any{"type": "webauthn.get", "challenge": challenge, "origin": v.origin,
		"crossOrigin": false})
	if err != nil {
		t.Fatal(err)
	}
	rp, sum := sha256.Sum256([]byte(v.rp)), sha256.Sum256(client)
	data := binary.BigEndian.AppendUint32(append(rp[:], 0x05), v.count) // present and verified
	signed := sha256.Sum256(append(bytes.Clone(data), sum[:]...))
	signature, err := ecdsa.SignASN1(rand.Reader, v.key, signed[:])
	if err != nil {
		t.Fatal(err)
	}
	b64 := base64.RawURLEncoding.EncodeToString
	out, err := json.Marshal(map[string]any{"id": b64(v.id), "rawId": b64(v.id), "type": "public-key",
		"response": map[string]any{
			"clientDataJSON": b64(client), "authenticatorData": b64(data), "signature": b64(signature),
			"userHandle": b64(v.handle)}})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A passkey signs its owner in, and each answer works once; everything that
// fails gets the same answer.
func TestComingInWithAPasskey(t *testing.T) {
	s := dbtest.New(t)
	d, ctx := passkey.NewVerifier(s.Firm, base), t.Context()
	other := s.Found(t, "Marl & Sons")
	v, k := newDevice(t, s, d, s.Plumber)
	theirs, _ := newDevice(t, s, d, other)
	try := func(what string, answer []byte, kind fault.Kind) {
		t.Helper()
		p, session, err := d.SignIn(ctx, firm.Person{}, answer)
		switch {
		case fault.KindOf(err) != kind || kind == "" && err != nil:
			t.Errorf("%s: want %q, got %v", what, kind, err)
		case kind == "":
			if got, err := s.Firm.Session(ctx, session); err != nil || got != s.Plumber || p != s.Plumber {
				t.Errorf("%s: %+v, %+v (%v)", what, p, got, err)
			}
		case session != "":
			t.Errorf("%s: a session", what)
		}
	}
	good := v.answers(t, asked(t, d))
	try("its owner", good, "")
	try("a second time", good, fault.NotFound)
	try("again", v.answers(t, asked(t, d)), "")
	try("a challenge of nobody", v.answers(t, base64.RawURLEncoding.EncodeToString(make([]byte, 32))), fault.NotFound)

	late := asked(t, d)
	s.Clock.Pass(firm.ChallengeLifetime)
	try("too late", v.answers(t, late), fault.NotFound)

	changed := func(do func(*device)) []byte {
		copied := *v
		do(&copied)
		copied.count += 10
		return copied.answers(t, asked(t, d))
	}
	try("another firm's key in the member's name", changed(func(c *device) { c.key, c.id = theirs.key, theirs.id }),
		fault.NotFound)
	try("the member's key in another firm's name", changed(func(c *device) { c.handle = theirs.handle }), fault.NotFound)
	try("another key", changed(func(c *device) { c.key = theirs.key }), fault.NotFound)
	try("at another site", changed(func(c *device) { c.origin = "https://lathmark.example.evil.example" }), fault.NotFound)
	try("for another site", changed(func(c *device) { c.rp = "evil.example" }), fault.NotFound)
	try("no handle", changed(func(c *device) { c.handle = nil }), fault.NotFound)
	try("half a handle", changed(func(c *device) { c.handle = c.handle[:20] }), fault.NotFound)
	try("not an answer", []byte("{}"), fault.BadInput)
	cloned := *v
	cloned.count = 2 // the next count was used
	try("a copied key", cloned.answers(t, asked(t, d)), fault.NotFound)
	try("still its owner", v.answers(t, asked(t, d)), "")

	if err := s.Firm.EndPasskey(ctx, s.Foreman, k.ID); fault.KindOf(err) != fault.NotFound {
		t.Errorf("somebody else takes it away: %v", err)
	}
	if err := s.Firm.EndPasskey(ctx, s.Plumber, k.ID); err != nil {
		t.Error(err)
	}
	try("taken away", v.answers(t, asked(t, d)), fault.NotFound)
	v, _ = newDevice(t, s, d, s.Plumber)
	if err := s.Firm.EndAccess(ctx, s.Owner, s.Plumber.ID); err != nil {
		t.Error(err)
	}
	try("a phone that was lost", v.answers(t, asked(t, d)), fault.NotFound)
	v, _ = newDevice(t, s, d, s.Plumber)
	if err := s.Firm.EndMember(ctx, s.Owner, s.Plumber.ID); err != nil {
		t.Error(err)
	}
	try("who has left", v.answers(t, asked(t, d)), fault.NotFound)
}

// A browser makes no passkey for a bare IP address.
func TestWhereThereAreNoPasskeys(t *testing.T) {
	for at, want := range map[string]bool{base: true, "http://localhost:8080": true, "http://127.0.0.1:8080": false,
		"http://[::1]": false, "": false} {
		if got := passkey.NewVerifier(nil, at) != nil; got != want {
			t.Errorf("%q takes passkeys: %v", at, got)
		}
	}
}

// Whatever a browser sends, it signs nobody in and breaks nothing.
func FuzzSignIn(f *testing.F) {
	s := dbtest.New(f)
	d := passkey.NewVerifier(s.Firm, base)
	f.Add([]byte(`{"id":"AA","rawId":"AA","type":"public-key","response":{"clientDataJSON":"e30",
		"authenticatorData":"AA","signature":"AA","userHandle":"AA"}}`))
	f.Add([]byte("{"))
	f.Fuzz(func(t *testing.T, answer []byte) {
		_, session, err := d.SignIn(t.Context(), firm.Person{}, answer)
		if kind := fault.KindOf(err); session != "" || kind != fault.BadInput && kind != fault.NotFound {
			t.Errorf("%q: %v", answer, err)
		}
		if _, err := d.Register(t.Context(), s.Plumber, id.Session{}, "x", answer); fault.KindOf(err) != fault.BadInput &&
			fault.KindOf(err) != fault.NotFound {
			t.Errorf("added %q: %v", answer, err)
		}
	})
}
