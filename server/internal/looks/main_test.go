// Package looks looks at the pages in a real browser: how they come out, whether
// everybody can use them, and what they print.
package looks_test

import (
	"testing"

	"brakeside/server/internal/shoptest"
)

func TestMain(m *testing.M) { shoptest.Main(m) }
