// Package hands does by hand, in a real browser, what the operator and the owner
// do: it taps, types and waits.
package hands_test

import (
	"fmt"
	"os"
	"testing"

	"brakeside/server/internal/shoptest"
)

func TestMain(m *testing.M) {
	if os.Getenv(serviceFolder) != "" {
		if err := serve(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	shoptest.Main(m)
}
