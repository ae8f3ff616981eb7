// Package golden compares what a test made with a file that is kept. Only tests
// import it.
package golden

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew; read the difference before you keep it")

// Compare fails the test unless the file holds exactly what was made. A file
// that is missing fails too. With -update it writes the file.
func Compare(tb testing.TB, file string, made []byte) {
	tb.Helper()
	if *update {
		write(tb, file, made)
	}
	kept, err := os.ReadFile(file)
	if err != nil {
		tb.Fatalf("no golden file: %v (make it with -update)", err)
	}
	if bytes.Equal(kept, made) {
		return
	}
	keptLines, madeLines := bytes.Split(kept, []byte("\n")), bytes.Split(made, []byte("\n"))
	for i := range max(len(keptLines), len(madeLines)) {
		if was, is := line(keptLines, i), line(madeLines, i); was != is {
			tb.Fatalf("%s, line %d:\n kept %s\n made %s", file, i+1, was, is)
		}
	}
}

func write(tb testing.TB, file string, made []byte) {
	tb.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		tb.Fatal(err)
	}
	if err := os.WriteFile(file, made, 0o644); err != nil {
		tb.Fatal(err)
	}
}

// line gives one line in words, also where the text has ended.
func line(lines [][]byte, i int) string {
	if i >= len(lines) {
		return "(end)"
	}
	return `"` + string(lines[i]) + `"`
}

// Only fails the test when the files that match the pattern are not exactly
// the wanted ones, so that no golden file is left behind unread.
func Only(tb testing.TB, pattern string, wanted []string) {
	tb.Helper()
	found, err := filepath.Glob(pattern)
	if err != nil {
		tb.Fatal(err)
	}
	if len(wanted) == 0 {
		tb.Fatalf("no golden file is wanted of %s", pattern)
	}
	for _, file := range found {
		if !slices.Contains(wanted, file) {
			tb.Errorf("golden file %s belongs to no test", file)
		}
	}
}
