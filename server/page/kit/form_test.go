package kit

import (
	"net/url"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/id"

	"github.com/google/uuid"
	"pgregory.net/rapid"
)

func pressed(token uuid.UUID, pairs ...string) *Form {
	v := url.Values{"token": {token.String()}}
	for i := 0; i < len(pairs); i += 2 {
		v.Add(pairs[i], pairs[i+1])
	}
	return &Form{&deed.Form{Values: v, Token: token}}
}

// Law: the same form pressed twice returns one id; another page, another word or
// another record of the form returns another.
func TestNewID(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		token := uuid.Must(uuid.NewV7())
		name, value := rapid.String().Draw(t, "name"), rapid.String().Draw(t, "value")
		f := pressed(token, "n"+name, value)
		one := NewID[id.Job](f, 0)
		if again := NewID[id.Job](pressed(token, "n"+name, value), 0); again != one {
			t.Fatalf("pressed twice: %s and %s", one, again)
		}
		for what, other := range map[string]id.Job{
			"another page":   NewID[id.Job](pressed(uuid.Must(uuid.NewV7()), "n"+name, value), 0),
			"another value":  NewID[id.Job](pressed(token, "n"+name, value+"x"), 0),
			"another field":  NewID[id.Job](pressed(token, "n"+name+"x", value), 0),
			"another record": NewID[id.Job](f, 1),
		} {
			if other == one {
				t.Fatalf("%s has the same id %s", what, one)
			}
		}
		u := uuid.UUID(one)
		if u.Version() != 7 || u.Variant() != uuid.RFC4122 {
			t.Fatalf("%s is version %d, variant %s", u, u.Version(), u.Variant())
		}
	})
}
