// Package qr turns a web address into a square of cells (a QR code, ISO/IEC
// 18004).
//
// Only printable ASCII is taken: the library writes no note of the character
// set, so that readers guess wrongly at anything else. Lengths are millimetres.
package qr

import (
	"fmt"

	"brakeside/calc/fault"
	"brakeside/traveler/draw"
)

// LeastModule is the smallest side of a cell, in millimetres, that a phone is
// sure to tell apart on a worn sheet; measured with blurred pictures of printed
// symbols.
const LeastModule = 0.75

// quietModules is the width of the blank border that the standard asks for.
const quietModules = 4

// Cells gives the symbol for a text: how many cells lie along one side and
// which are dark, row by row from the top, which the caller must not change. It
// refuses (fault.Invalid) an empty text and one with anything but printable
// ASCII, and (fault.TooLarge) one too long for any symbol.
func Cells(text string, level Level) (count int, dark []bool, err error) {
	if text == "" {
		return 0, nil, fault.New(fault.Invalid, "", "there is no text for the QR code")
	}
	for _, r := range text {
		if r < ' ' || r > '~' {
			return 0, nil, fault.New(fault.Invalid, "", "the QR code can hold only plain ASCII letters, digits and signs, "+
				"and %q is none; use an address without it", r)
		}
	}
	made, err := lately.get(asked{text, level})()
	return made.count, made.dark, err
}

// Mark gives the symbol for a text as a mark with its top left corner at x, y.
// Side does not count the quiet zone, which the caller leaves free around it.
// It refuses what Cells refuses, and a side not above 0.
func Mark(text string, level Level, x, y, side float64) (draw.Cells, error) {
	if !(side > 0) {
		return draw.Cells{}, fmt.Errorf("a QR code of side %g mm", side)
	}
	count, dark, err := Cells(text, level)
	if err != nil {
		return draw.Cells{}, err
	}
	return draw.Cells{X: x, Y: y, Side: side, Count: count, Dark: dark, Words: text}, nil
}

// QuietZone is the width of the white border that a symbol needs on all four
// sides, in millimetres: 4 modules (ISO/IEC 18004).
func QuietZone(cells draw.Cells) float64 { return quietModules * Module(cells) }

// Module is the side of one cell of a symbol, in millimetres.
func Module(cells draw.Cells) float64 { return cells.Module() }
