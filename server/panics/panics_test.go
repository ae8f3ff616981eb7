package panics

import (
	"errors"
	"strings"
	"testing"
)

func TestCaught(t *testing.T) {
	refused := errors.New("refused")
	if err := Caught(func() error { return nil }); err != nil {
		t.Errorf("nothing wrong = %v", err)
	}
	if err := Caught(func() error { return refused }); err != refused {
		t.Errorf("an error = %v, want it as it is", err)
	}
	var empty map[string]int
	err := Caught(func() error { empty["x"] = 1; return nil })
	if err == nil || !strings.Contains(err.Error(), "nil map") || !strings.Contains(err.Error(), "panics_test.go") {
		t.Errorf("a panic = %v, want its cause and its place", err)
	}
}
