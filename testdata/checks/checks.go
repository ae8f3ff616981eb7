// Package checks compares what the program works out with published values and
// keeps the list of comparisons on the page testdata/CHECKS.md.
//
// It is for tests only. The published values lie beside it in JSON files, each
// row with its source and a grade: A an official text or a faithful copy, B a
// second-hand copy, M from memory. A package's test reads a file, compares, and
// keeps its section of the page; one test in calc/bend joins the sections. With
// the caller's -update flag a section or the page is written instead:
//
//	go test -p 1 ./calc/... -update; go test ./calc/bend -update
package checks

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Row is one published value, or several that belong together.
type Row struct {
	ID      string         `json:"id"`
	Topic   string         `json:"topic"`
	Source  string         `json:"source"`
	Locator string         `json:"locator"`
	URL     string         `json:"url"`
	Grade   string         `json:"grade"` // A, B or M
	Inputs  map[string]any `json:"inputs"`
	Outputs map[string]any `json:"outputs"`
	Tol     any            `json:"tol"`
	Note    string         `json:"note,omitempty"`
	LeftOut string         `json:"left_out,omitempty"` // why the row is not compared
}

// folder is where this package lies: the tests of a package run in its own
// folder, and the module's root is above it.
func folder(t testing.TB) string {
	t.Helper()
	root, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for root != filepath.Dir(root) {
		if _, err := os.Stat(filepath.Join(root, "go.mod")); err == nil {
			return filepath.Join(root, "testdata", "checks")
		}
		root = filepath.Dir(root)
	}
	t.Fatal("no go.mod above the test: where are the published values?")
	return ""
}

// Read reads a file of published values. An empty or unreadable one fails the
// test.
func Read(t testing.TB, name string) []Row {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder(t), name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.UseNumber()
	decoder.DisallowUnknownFields()
	var rows []Row
	if err := decoder.Decode(&rows); err != nil || len(rows) == 0 {
		t.Fatalf("%s.json: %d rows, %v", name, len(rows), err)
	}
	return rows
}

// In is a number among the inputs of the row; a missing one fails the test.
func (r Row) In(t testing.TB, name string) float64 {
	t.Helper()
	return Number(t, r.Inputs[name])
}

// Number turns a value of a row into a number, or fails the test.
func Number(t testing.TB, value any) float64 {
	t.Helper()
	text, _ := value.(json.Number)
	number, err := text.Float64()
	if err != nil {
		t.Fatalf("%v is not a number", value)
	}
	return number
}

// List turns a value of a row into its elements, or fails the test.
func List(t testing.TB, value any) []any {
	t.Helper()
	list, ok := value.([]any)
	if !ok {
		t.Fatalf("%v is not a list", value)
	}
	return list
}

// Page is one package's section of the page of checks.
type Page struct {
	Name, Title string
	lines       []line
	left        []Row
}

// line is one comparison.
type line struct{ check, source, published, ours, difference string }

// Value is one number to compare: what it is, as published, and ours.
type Value struct {
	Check     string
	Published any // a json.Number of a row, printed as it stands, or a float64
	Ours      float64
	Tolerance float64 // the most they may differ
}

// Compare adds a line and fails the test when the two differ by more than the
// tolerance.
func (p *Page) Compare(t testing.TB, r Row, v Value) {
	t.Helper()
	text := printed(v.Published)
	published, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("%s %s: published value %v is not a number", r.ID, v.Check, v.Published)
	}
	difference := v.Ours - published
	if !(math.Abs(difference) <= v.Tolerance*(1+1e-9)) {
		t.Errorf("%s %s: ours %v, published %s, may differ by %v", r.ID, v.Check, v.Ours, text, v.Tolerance)
	}
	places := decimals(text) + 1
	p.lines = append(p.lines, line{v.Check, r.cited(), text,
		strconv.FormatFloat(v.Ours, 'f', places, 64), signed(difference, places)})
}

// LeaveOut notes a row that is not compared; it must say why.
func (p *Page) LeaveOut(t testing.TB, r Row) {
	t.Helper()
	if r.LeftOut == "" {
		t.Errorf("%s is not compared and does not say why", r.ID)
	}
	p.left = append(p.left, r)
}

// printed spells a published value as it stands in the file.
func printed(value any) string {
	if number, ok := value.(float64); ok {
		return strconv.FormatFloat(number, 'f', -1, 64)
	}
	number, _ := value.(json.Number)
	return number.String()
}

// decimals counts the digits after the point.
func decimals(text string) int {
	_, after, _ := strings.Cut(text, ".")
	return len(after)
}

// signed prints a difference with its sign, and no sign on nothing.
func signed(difference float64, places int) string {
	text := strconv.FormatFloat(difference, 'f', places, 64)
	if strings.Trim(text, "-0.") == "" {
		return "0"
	}
	if difference > 0 {
		return "+" + text
	}
	return text
}

// cited names the source, with a warning when it is remembered.
func (r Row) cited() string {
	text := r.Source
	if r.Locator != "" && r.Locator != "-" {
		text += ", " + r.Locator
	}
	if r.Grade == "M" {
		text += " (from memory)"
	}
	return text
}
