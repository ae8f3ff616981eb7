package sheet

import (
	"fmt"
	"sync"

	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/qr"
)

// Sides of the QR codes in millimetres, without their quiet zones.
const (
	headCode = 30.0
	pageCode = 24.75
	stepCode = 18.0
)

// leastStepModule is the smallest cell of a step's code. It is finer than what
// the codes of the pages keep to: the step's code is a short cut, and whoever
// cannot scan it scans the page's.
const leastStepModule = 0.45

// widestStepCode is the largest box a step's row can give its code.
const widestStepCode = 27.0

// symbol is a QR code made ready, at the origin.
type symbol struct {
	cells   draw.Cells
	address string
}

// around is the side of the box that the code and its quiet zone fill.
func (s symbol) around() float64 { return s.cells.Side + 2*qr.QuietZone(s.cells) }

// encoded makes the code of an address, at least so large and with cells not
// smaller than given. A quarter of it may be lost under grease. The level above
// lives longer under grease and less long out of focus, since its cells are
// smaller; photographs of both, counted in testdata/decode.md, do not decide
// between them, and only this level keeps its cells above qr.LeastModule at the
// size of the head's code.
func encoded(address string, side, module float64) (symbol, error) {
	cells, err := qr.Mark(address, qr.Q, 0, 0, side)
	if err != nil {
		return symbol{}, fmt.Errorf("the sheet's address: %w", err)
	}
	cells.Side = max(side, module*float64(cells.Count))
	return symbol{cells, address}, nil
}

// pageSymbol is the code of a page's head.
func pageSymbol(address string) (symbol, error) {
	return encoded(address, headCode, qr.LeastModule)
}

// stepSymbol is the code of a step, which opens the page of its bend.
func stepSymbol(address string, step int) (symbol, error) {
	return encoded(fmt.Sprintf("%s/%d", address, step), stepCode, leastStepModule)
}

// codes are the QR codes of one sheet; each is worked out once.
type codes struct {
	page  symbol
	steps []symbol // empty where a step's code does not fit its row
}

// codesOf encodes all codes of a sheet at once: each tries eight masks, and
// together they take as long as the drawing.
func codesOf(t *traveler.Traveler) (codes, error) {
	var pending sync.WaitGroup
	made, failed := codes{steps: make([]symbol, len(t.Steps))}, make([]error, len(t.Steps))
	for i, s := range t.Steps {
		pending.Go(func() {
			made.steps[i], failed[i] = stepSymbol(t.Address, s.Number)
		})
	}
	var err error
	made.page, err = pageSymbol(t.Address)
	pending.Wait()
	if err != nil {
		return codes{}, err
	}
	for i, step := range made.steps {
		if failed[i] != nil || step.around() > widestStepCode {
			return codes{page: made.page}, nil // the page's own code fits, and leads to the step
		}
	}
	return made, nil
}

// resized is the code at another size.
func (s symbol) resized(side float64) symbol {
	s.cells.Side = max(side, qr.LeastModule*float64(s.cells.Count))
	return s
}

// stamp puts a code, its quiet zone and its link with the top left corner of
// the quiet zone at x, y.
func (s symbol) stamp(c canvas, x, y float64) {
	quiet := qr.QuietZone(s.cells)
	s.cells.X, s.cells.Y = x+quiet, y+quiet
	c.add(s.cells, draw.Link{X: x, Y: y, Width: s.around(), Height: s.around(), Address: s.address})
}
