package stock

import (
	_ "embed" // the handbook springback table
	"fmt"
)

//go:embed handbook.csv
var handbookCSV string

// handbookRatios are the heads of the handbook table: inside radius over
// thickness.
var handbookRatios = []float64{1, 1.6, 2.5, 4, 6.3, 10, 16, 25, 40, 63, 100}

var handbookTable = readHandbook(handbookCSV)

// readHandbook reads the table by the name of its rows; an empty cell is 0.
func readHandbook(text string) map[string][]float64 {
	table := map[string][]float64{}
	for _, r := range readTable(text) {
		factors := make([]float64, len(handbookRatios))
		for i, ratio := range handbookRatios {
			if head := fmt.Sprint(ratio); r[head] != "" {
				factors[i] = r.number(head)
			}
		}
		table[r["row"]] = factors
	}
	return table
}

// HandbookSpringback is the springback factor kR of the handbook table for an
// inside radius of so many thicknesses: the angle on the part over the angle
// under load, at most 1. Between columns it is read on a straight line; below
// the first column it is the first. It reports false for a material or a
// radius the table does not have; see HandbookReach.
//
// Source: a German trade table book after DIN 6935; its column heads from
// memory.
func (m Material) HandbookSpringback(thicknesses Multiple) (float64, bool) {
	factors, found := handbookTable[m.HandbookRow]
	if !found {
		return 0, false
	}
	ratio := max(float64(thicknesses), handbookRatios[0])
	for i := 1; i < len(factors); i++ {
		if left, right := handbookRatios[i-1], handbookRatios[i]; ratio <= right {
			share := (ratio - left) / (right - left)
			factor := factors[i-1] + share*(factors[i]-factors[i-1])
			return factor, factors[i-1] > 0 && factors[i] > 0
		}
	}
	return 0, false
}

// HandbookReach is the radius in thicknesses of the last column in which the
// handbook table has a factor for the material; false when it has none at all.
func (m Material) HandbookReach() (Multiple, bool) {
	factors := handbookTable[m.HandbookRow]
	for i := len(factors) - 1; i >= 0; i-- {
		if factors[i] > 0 {
			return Multiple(handbookRatios[i]), true
		}
	}
	return 0, false
}
