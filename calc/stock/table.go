package stock

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"brakeside/calc/unit"
)

// row is one line of an embedded table by column name.
type row map[string]string

// readTable reads an embedded table whose first line names its columns. A
// broken table is a mistake of the program, found by its first test.
func readTable(text string) []row {
	lines, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(lines) < 2 {
		panic(fmt.Sprintf("stock: an embedded table does not read: %v", err))
	}
	var rows []row
	for _, line := range lines[1:] {
		r := row{}
		for i, name := range lines[0] {
			r[name] = line[i]
		}
		rows = append(rows, r)
	}
	return rows
}

// number reads a column that must be a number.
func (r row) number(column string) float64 {
	value, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		panic(fmt.Sprintf("stock: %s %q in an embedded table is not a number", column, r[column]))
	}
	return value
}

// multiple reads a column like "1.5t".
func (r row) multiple(column string) Multiple {
	text, found := strings.CutSuffix(r[column], "t")
	value, err := strconv.ParseFloat(text, 64)
	if !found || err != nil {
		panic(fmt.Sprintf("stock: %s %q in an embedded table is not like 1.5t", column, r[column]))
	}
	return Multiple(value)
}

// Multiple is a length as so many thicknesses of the sheet.
type Multiple float64

// Of is the multiple of one thickness.
func (m Multiple) Of(thickness unit.MM) unit.MM { return unit.MM(m) * thickness }
