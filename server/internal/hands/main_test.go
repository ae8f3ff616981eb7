// Package hands does by hand, in a real browser, what the operator and the owner
// do: it taps, types and waits.
package hands_test

import (
	"testing"

	"brakeside/server/internal/shoptest"
)

func TestMain(m *testing.M) { shoptest.Main(m) }
