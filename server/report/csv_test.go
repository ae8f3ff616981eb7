package report

import (
	"testing"
)

func TestWordsAreNoFormulas(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "plain": "plain", "=1": "'=1", "+1": "'+1", "-1": "'-1", "@a": "'@a", "\tx": "'\tx", "\rx": "'\rx", "a=1": "a=1", "'x": "'x",
	} {
		if got := harmless(text); got != want {
			t.Errorf("harmless(%q) = %q, want %q", text, got, want)
		}
	}
}
