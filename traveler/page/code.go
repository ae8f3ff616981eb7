package page

import (
	"fmt"
	"sync"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
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

// Symbol is a QR code made ready, at the origin.
type Symbol struct {
	cells   draw.Cells
	address string
}

// Around is the side of the box that the code and its quiet zone fill.
func (s Symbol) Around() float64 { return s.cells.Side + 2*qr.QuietZone(s.cells) }

// Encode makes the code of an address, at least so large and with cells not
// smaller than given, in millimetres. It refuses what qr.Cells refuses.
//
// A quarter of it may be lost under grease. The level above lives longer under
// grease and less long out of focus, since its cells are smaller; photographs of
// both, counted in sheet/testdata/decode.md, do not decide between them, and only
// this level keeps its cells above qr.LeastModule at the size of the head's code.
func Encode(address string, side, module float64) (Symbol, error) {
	cells, err := qr.Mark(address, qr.Q, 0, 0, side)
	if err != nil {
		return Symbol{}, fmt.Errorf("the sheet's address: %w", err)
	}
	cells.Side = max(side, module*float64(cells.Count))
	return Symbol{cells, address}, nil
}

// HeadSymbol is the code of a page's head.
func HeadSymbol(address string) (Symbol, error) {
	return Encode(address, headCode, qr.LeastModule)
}

// StepSymbol is the code of a step, which opens the page of its bend.
func StepSymbol(address string, step int) (Symbol, error) {
	return Encode(fmt.Sprintf("%s/%d", address, step), stepCode, leastStepModule)
}

// Codes are the QR codes of one sheet; each is worked out once.
type Codes struct {
	Page  Symbol
	Steps []Symbol // empty where a step's code does not fit its row
}

// CodesOf encodes all codes of a sheet at once: each tries eight masks, and
// together they take as long as the drawing. It refuses an address that no code
// holds (fault.Invalid, fault.TooLarge).
func CodesOf(t *traveler.Traveler) (Codes, error) {
	var pending sync.WaitGroup
	made, failed := Codes{Steps: make([]Symbol, len(t.Steps))}, make([]error, len(t.Steps))
	for i, s := range t.Steps {
		pending.Go(func() {
			made.Steps[i], failed[i] = StepSymbol(t.Address, s.Number)
		})
	}
	var err error
	made.Page, err = HeadSymbol(t.Address)
	pending.Wait()
	if err != nil {
		return Codes{}, err
	}
	for i, step := range made.Steps {
		if failed[i] != nil || step.Around() > widestStepCode {
			return Codes{Page: made.Page}, nil // the page's own code fits, and leads to the step
		}
	}
	return made, nil
}

// resized is the code at another size.
func (s Symbol) resized(side float64) Symbol {
	s.cells.Side = max(side, qr.LeastModule*float64(s.cells.Count))
	return s
}

// Stamp puts a code, its quiet zone and its link with the top left corner of
// the quiet zone at x, y.
func (s Symbol) Stamp(c canvas.Canvas, x, y float64) {
	quiet := qr.QuietZone(s.cells)
	s.cells.X, s.cells.Y = x+quiet, y+quiet
	c.Add(s.cells, draw.Link{X: x, Y: y, Width: s.Around(), Height: s.Around(), Address: s.address})
}

// CodeLetters are the letters of the code under its symbol.
var CodeLetters = canvas.Lettering{Face: draw.Bold, Size: canvas.Smallest, Least: canvas.Smallest, Anchor: draw.Centre}
