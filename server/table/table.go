// Package table writes and reads lists as CSV (RFC 4180): for programs, and for
// spreadsheets, which in half of Europe take 1.10 for a date and a comma for the sign
// of decimals.
package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"brakeside/calc/fault"
)

// Format is how a list is written.
type Format struct {
	Separator rune
	Decimal   string // the sign of decimals
	Mark      bool   // led by a byte order mark, by which spreadsheets know UTF-8
}

// Plain is the format for programs.
var Plain = Format{',', ".", false}

// mark is the byte order mark of UTF-8.
const mark = "\ufeff"

// Spreadsheet is the format for the spreadsheets of a shop that writes decimals with a
// sign, a point or a comma.
func Spreadsheet(decimal string) Format {
	if decimal == "," {
		return Format{';', ",", true}
	}
	return Format{',', ".", true}
}

// Column is one column of a list.
type Column struct {
	Name   string
	Figure bool // of numbers with decimals, written with the sign of the format
}

// Figures tells by its name whether a column is of measured numbers.
func Figures(name string) bool {
	return strings.HasSuffix(name, "_mm") || strings.HasSuffix(name, "_deg")
}

// Writer writes a list. Use New to make one, and Flush at its end.
type Writer struct {
	to      *csv.Writer
	format  Format
	columns []Column
}

// New begins a list with its header.
func New(w io.Writer, f Format, columns []Column) (*Writer, error) {
	if f.Mark {
		if _, err := io.WriteString(w, mark); err != nil {
			return nil, err
		}
	}
	out := &Writer{to: csv.NewWriter(w), format: f, columns: columns}
	out.to.UseCRLF, out.to.Comma = true, f.Separator
	var names []string
	for _, c := range columns {
		names = append(names, c.Name)
	}
	return out, out.to.Write(names)
}

// Row writes a row of as many cells as there are columns.
func (w *Writer) Row(cells ...string) error {
	own := slices.Clone(cells)
	for i, c := range w.columns {
		if c.Figure {
			own[i] = strings.Replace(own[i], ".", w.format.Decimal, 1)
		}
	}
	return w.to.Write(own)
}

// Flush ends the list.
func (w *Writer) Flush() error {
	w.to.Flush()
	return w.to.Error()
}

// Row is one row of a list that was read.
type Row struct {
	Line  int
	cells map[string]cell
}

type cell struct {
	text         string
	line, column int
}

// Get is a cell by the name of its column; empty without that column.
func (r Row) Get(name string) string { return r.cells[name].text }

// Refuse makes a refusal of a cell, with the line and the column at which it stands.
func (r Row) Refuse(name, format string, values ...any) error {
	at, there := r.cells[name]
	where := fmt.Sprintf("Line %d", r.Line)
	if there {
		where = fmt.Sprintf("Line %d, column %d", at.line, at.column)
	}
	return fault.New(fault.Invalid, Field, "%s (%s): %s", where, name, fmt.Sprintf(format, values...))
}

// Field is the field of a form that a list is typed into.
const Field = "text"

// Header is what columns a list has: those that must be there, and those that may be.
type Header struct{ Needed, Optional []string }

// Read reads a list: the header, in any order, and rows between commas, semicolons or
// tabs. It refuses with fault.Invalid, with line and column, what is no such list. No
// row is left out but empty ones.
func Read(text string, h Header) ([]Row, error) {
	text = strings.TrimPrefix(text, mark)
	if !utf8.ValidString(text) {
		return nil, fault.New(fault.Invalid, Field, "The list is not written in UTF-8. Save it as CSV UTF-8.")
	}
	in := csv.NewReader(strings.NewReader(text))
	in.Comma, in.FieldsPerRecord, in.TrimLeadingSpace = separatorOf(text), -1, true
	names, err := in.Read()
	if err != nil {
		return nil, fault.New(fault.Invalid, Field, "The list is empty. Its first line names the columns: %s.", strings.Join(h.Needed, ", "))
	}
	for i := range names {
		names[i] = strings.ToLower(strings.TrimSpace(names[i]))
	}
	if err := h.check(names, in); err != nil {
		return nil, err
	}
	var rows []Row
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, unreadable(err)
		}
		line, _ := in.FieldPos(0)
		if len(cells) != len(names) {
			return nil, fault.New(fault.Invalid, Field, "Line %d has %d cells, and the first line names %d columns.", line, len(cells), len(names))
		}
		row := Row{line, make(map[string]cell, len(names))}
		for i, name := range names {
			at, column := in.FieldPos(i)
			row.cells[name] = cell{strings.TrimSpace(harmful(cells[i])), at, column}
		}
		if strings.TrimSpace(strings.Join(cells, "")) != "" {
			rows = append(rows, row)
		}
	}
}

// unreadable words what the reader of CSV could not read.
func unreadable(err error) error {
	var where *csv.ParseError
	if errors.As(err, &where) {
		return fault.New(fault.Invalid, Field, "Line %d, column %d: a quote is missing, or one too many.", where.Line, where.Column)
	}
	return err
}

// separatorOf is what stands most often in the first line.
func separatorOf(text string) rune {
	first, _, _ := strings.Cut(text, "\n")
	best := ','
	for _, r := range []rune{';', '\t'} {
		if strings.Count(first, string(r)) > strings.Count(first, string(best)) {
			best = r
		}
	}
	return best
}

func (h Header) check(names []string, in *csv.Reader) error {
	for i, name := range names {
		_, column := in.FieldPos(i)
		switch {
		case !slices.Contains(h.Needed, name) && !slices.Contains(h.Optional, name):
			return fault.New(fault.Invalid, Field, "Line 1, column %d: there is no column %.40q. There are %s.",
				column, name, strings.Join(slices.Concat(h.Needed, h.Optional), ", "))
		case slices.Contains(names[:i], name):
			return fault.New(fault.Invalid, Field, "Line 1, column %d: the column %s is there twice.", column, name)
		}
	}
	for _, name := range h.Needed {
		if !slices.Contains(names, name) {
			return fault.New(fault.Invalid, Field, "Line 1: the column %s is missing. There are %s.",
				name, strings.Join(slices.Concat(h.Needed, h.Optional), ", "))
		}
	}
	return nil
}

// Written is a list of rows as bytes.
func Written(f Format, columns []Column, rows [][]string) ([]byte, error) {
	var out bytes.Buffer
	w, err := New(&out, f, columns)
	for _, row := range rows {
		if err == nil {
			err = w.Row(row...)
		}
	}
	if err == nil {
		err = w.Flush()
	}
	return out.Bytes(), err
}

// harmful takes off what Harmless puts before a text.
func harmful(text string) string {
	if rest, led := strings.CutPrefix(text, "'"); led && Harmless(rest) != rest {
		return rest
	}
	return text
}

// Harmless makes a text harmless for a spreadsheet, which takes one that begins with
// one of these signs for a formula.
func Harmless(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r\n", rune(text[0])) {
		return "'" + text
	}
	return text
}
