package checks

import (
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"
)

// Mode says what a test does with a kept text.
type Mode int

// The modes. The zero mode is the strict one.
const (
	Verify Mode = iota // it must be there and equal
	Write              // write it anew
)

// ModeOf turns a test's -update flag into a mode.
func ModeOf(update *bool) Mode {
	if *update {
		return Write
	}
	return Verify
}

// Keep verifies or writes the section of the page. A section without a single
// comparison fails.
func (p *Page) Keep(t testing.TB, mode Mode) {
	t.Helper()
	if len(p.lines) == 0 {
		t.Fatalf("section %s compares nothing", p.Name)
	}
	keep(t, filepath.Join(folder(t), "sections", p.Name+".md"), p.text(), mode)
}

// text words the section.
func (p *Page) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "## %s\n\n%d values compared, %d rows left out.\n\n", p.Title, len(p.lines), len(p.left))
	b.WriteString("| check | source | published | ours | difference |\n|---|---|---|---|---|\n")
	for _, l := range p.lines {
		cells := []string{l.check, l.source, l.published, l.ours, l.difference}
		for i, cell := range cells {
			cells[i] = strings.ReplaceAll(cell, "|", "/")
		}
		fmt.Fprintf(&b, "| %s |\n", strings.Join(cells, " | "))
	}
	if len(p.left) > 0 {
		b.WriteString("\nLeft out:\n\n")
	}
	for _, r := range p.left {
		fmt.Fprintf(&b, "- %s, %s: %s\n", r.ID, r.cited(), r.LeftOut)
	}
	return b.String()
}

const preface = `# Published values and ours

Written by the tests; do not edit. Each line is one published value beside what
this program works out. "From memory" marks a value nobody had before their eyes
when it was entered.

`

// KeepAll verifies or writes the whole page from the sections as they lie.
func KeepAll(t testing.TB, mode Mode) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder(t), "sections", "*.md"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no sections of the page of checks: %v", err)
	}
	sort.Strings(files)
	var sections []string
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		sections = append(sections, string(text))
	}
	keep(t, filepath.Join(folder(t), "..", "CHECKS.md"), preface+strings.Join(sections, "\n"), mode)
}

// keep writes a text, or verifies that it lies there already.
func keep(t testing.TB, path, text string, mode Mode) {
	t.Helper()
	if mode == Write {
		write(t, path, text)
		return
	}
	kept, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; write it with -update", err)
	}
	if string(kept) != text {
		t.Errorf("%s is not what the tests find now: %s; see what changed, then write it with -update",
			filepath.Base(path), firstDifference(string(kept), text))
	}
}

// write puts the text in place whole.
func write(t testing.TB, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// firstDifference shows the first line that differs.
func firstDifference(kept, now string) string {
	old, fresh := strings.Split(kept, "\n"), strings.Split(now, "\n")
	for i := range min(len(old), len(fresh)) {
		if old[i] != fresh[i] {
			return fmt.Sprintf("line %d was %q, is %q", i+1, old[i], fresh[i])
		}
	}
	return fmt.Sprintf("it had %d lines, has %d", len(old), len(fresh))
}
