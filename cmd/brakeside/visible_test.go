package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestVisible(t *testing.T) {
	const text = "a\x1b[2J – \u202eb\n°"
	for size := range len(text) {
		var out bytes.Buffer
		v := &visible{to: &out}
		for rest := []byte(text); len(rest) > 0; {
			n := min(size+1, len(rest))
			if written, err := v.Write(rest[:n]); written != n || err != nil {
				t.Fatal(written, err)
			}
			rest = rest[n:]
		}
		if got, want := out.String(), `a\u001b[2J – \u202eb`+"\n°"; got != want {
			t.Errorf("in pieces of %d: %q, want %q", size+1, got, want)
		}
	}
}

// Whatever names a file or its fields have, the terminal gets nothing raw: not in a
// refusal, not in the name of a file, not in what was typed.
func TestNothingRawReachesTheTerminal(t *testing.T) {
	raw := "\x1b[2J\u202e\u009b"
	folder := t.TempDir()
	file := filepath.Join(folder, "part"+raw+".json")
	for name, text := range map[string]string{
		"a number": `{"number":"A\u001b[2J\u202e","material":"mild-steel","thickness":1.5,"profile":{"length":100,"legs":[20,30],"bends":[90]}}`,
		"a field":  `{"number":"A","\u001b\u202e":1}`,
		"raw":      `{"number":"` + raw + `"}`,
	} {
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		o := runs(t, "plan", file)
		if o.code != exitBadInput || strings.ContainsAny(o.out+o.err, "\x1b\u202e\u009b") || !strings.Contains(o.err, `\u202e`) {
			t.Errorf("%s: exit %d, %q %q", name, o.code, o.out, o.err)
		}
	}
	if o := runs(t, raw); strings.ContainsAny(o.err, "\x1b\u202e\u009b") {
		t.Errorf("an unknown command is written raw: %q", o.err)
	}
}
