package qr

import (
	"github.com/boombuler/barcode/qr"

	"brakeside/calc/fault"
)

// asked is what a symbol is made from.
type asked struct {
	text  string
	level Level
}

// Level is how much of the symbol may be lost under grease before it cannot be
// read. The weaker levels of the standard are not offered: they do not live
// long on a shop floor.
type Level int

// The levels.
const (
	Q Level = iota // a quarter may be lost
	H              // nearly a third may be lost; smaller cells
)

// cells is a symbol.
type cells struct {
	count int
	dark  []bool
}

func encode(a asked) (cells, error) {
	symbol, err := qr.Encode(a.text, correction(a.level), qr.Auto)
	if err != nil {
		return cells{}, fault.New(fault.TooLarge, "", "the text of %d letters is too long for a QR code: %v", len(a.text), err)
	}
	count := symbol.Bounds().Dx()
	made := cells{count, make([]bool, 0, count*count)}
	for y := range count {
		for x := range count {
			red, _, _, _ := symbol.At(x, y).RGBA()
			made.dark = append(made.dark, red == 0)
		}
	}
	return made, nil
}

func correction(level Level) qr.ErrorCorrectionLevel {
	if level == H {
		return qr.H
	}
	return qr.Q
}
