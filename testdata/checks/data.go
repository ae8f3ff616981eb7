package checks

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Data reads a published data file, one row a line, its numbers between blanks
// or commas; data/SOURCES.txt says where each comes from. Columns that are
// words, as names or a heading, are left out.
func Data(t testing.TB, name string) [][]float64 {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder(t), "data", name))
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]float64
	for line := range strings.Lines(string(text)) {
		var row []float64
		for _, field := range strings.FieldsFunc(line, func(r rune) bool { return r == ',' || r == ' ' || r == '\t' || r == '\n' || r == '\r' }) {
			if v, err := strconv.ParseFloat(field, 64); err == nil {
				row = append(row, v)
			}
		}
		if row != nil {
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 {
		t.Fatalf("%s has no numbers", name)
	}
	return rows
}

// Column gives one column of a data file, counted from 0.
func Column(t testing.TB, rows [][]float64, column int) []float64 {
	t.Helper()
	out := make([]float64, len(rows))
	for i, row := range rows {
		if column >= len(row) {
			t.Fatalf("row %d has %d numbers, wanted number %d", i+1, len(row), column+1)
		}
		out[i] = row[column]
	}
	return out
}
