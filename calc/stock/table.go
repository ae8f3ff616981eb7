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

// readMaterials reads the table of materials; its first row is mild steel,
// which all ratings are compared with.
func readMaterials(text string) []Material {
	var list []Material
	for _, r := range readTable(text) {
		list = append(list, Material{
			ID: r["id"], Words: r["words"], Family: r["family"], Magnetic: r["magnetic"] == "yes",
			Series:  seriesNamed(r["series"]),
			Density: r.number("density"), Modulus: unit.MPa(r.number("modulus")),
			Yield: unit.MPa(r.number("yield")), Strength: unit.MPa(r.number("strength")),
			Springback: Springback{
				Mean: unit.Deg(r.number("springback_mean")),
				Low:  unit.Deg(r.number("springback_low")),
				High: unit.Deg(r.number("springback_high")),
			},
			Usual: r.multiple("usual_radius"), Source: sources(r), HandbookRow: r["handbook_row"],
		})
	}
	return list
}

// sources joins the source of each figure of a material.
func sources(r row) string {
	var parts []string
	for _, figure := range []string{"density", "modulus", "strength", "springback", "usual_radius"} {
		name := strings.ReplaceAll(figure, "_", " ")
		parts = append(parts, name+" ("+r[figure+"_source"]+")")
	}
	return strings.Join(parts, "; ")
}
