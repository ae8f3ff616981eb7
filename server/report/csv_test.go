package report

import (
	"brakeside/server/table"
	"encoding/csv"
	"strings"
	"testing"
)

func TestWordsAreNoFormulas(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "plain": "plain", "=1": "'=1", "+1": "'+1", "-1": "'-1", "@a": "'@a", "\tx": "'\tx", "\rx": "'\rx", "a=1": "a=1", "'x": "'x",
	} {
		if got := table.Harmless(text); got != want {
			t.Errorf("table.Harmless(%q) = %q, want %q", text, got, want)
		}
	}
}

// Whatever people typed, a reader of CSV gets it back as one cell that no
// spreadsheet takes for a formula.
func FuzzCell(f *testing.F) {
	for _, text := range []string{"", "oily", "=1+1", "\r=1", "a,\"b\"\r\nc", "\"", "\ufeff=1", " =1"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var file strings.Builder
		out := csv.NewWriter(&file)
		out.UseCRLF = true
		if err := out.Write([]string{"before", table.Harmless(text), "after"}); err != nil {
			t.Fatal(err)
		}
		out.Flush()
		rows, err := csv.NewReader(strings.NewReader(file.String())).ReadAll()
		if err != nil || len(rows) != 1 || len(rows[0]) != 3 {
			t.Fatalf("%q is read as %q, %v", text, rows, err)
		}
		cell := rows[0][1]
		if want := strings.ReplaceAll(table.Harmless(text), "\r", ""); cell != want {
			t.Errorf("%q comes back as %q, want %q", text, cell, want)
		}
		if cell != "" && strings.ContainsRune("=+-@\t", rune(cell[0])) {
			t.Errorf("%q comes out as the formula %q", text, cell)
		}
	})
}
