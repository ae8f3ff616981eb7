package fault

import (
	"errors"
	"fmt"
	"testing"
)

// Several refusals are one error, and each of them again.
func TestTogether(t *testing.T) {
	one, other := New(Invalid, "a", "first"), New(Conflict, "b", "second")
	if err := Together(nil); err != nil {
		t.Errorf("Together(none) = %v", err)
	}
	if err := Together([]error{one}); err != error(one) {
		t.Errorf("Together(one) = %v, want it itself", err)
	}
	both := Together([]error{one, fmt.Errorf("wrapped: %w", other)})
	if found := Each(both); len(found) != 2 || found[0] != one || found[1] != other || KindOf(both) != Invalid {
		t.Errorf("Each(both) = %v, kind %d", found, KindOf(both))
	}
	if found := Each(errors.New("a mistake")); len(found) != 0 {
		t.Errorf("Each(no refusal) = %v", found)
	}
}
