package acts_test

import (
	"testing"

	"lathmark/persistence/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }
