// Package parts develops part files. It is for tests only; the example parts lie
// beside it.
package parts

import (
	"os"
	"testing"

	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/stock"
)

// Develop reads a part file and develops it by the textbook.
func Develop(t testing.TB, file string) *flat.Blank {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	p, err := part.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return Blank(t, p)
}

// Blank develops a part by the textbook.
func Blank(t testing.TB, p part.Part) *flat.Blank {
	t.Helper()
	m, err := stock.Find(p.Material)
	if err != nil {
		t.Fatal(err)
	}
	b, err := flat.Develop(p, stock.Sheet{Material: m, Thickness: p.Thickness})
	if err != nil {
		t.Fatal(err)
	}
	return b
}
