package dxf

import "brakeside/traveler/draw"

// The layers of the drawing.
const (
	Cut      = "CUT"       // outline and holes: what is cut through
	BendUp   = "BEND_UP"   // bend lines folded towards the viewer
	BendDown = "BEND_DOWN" // bend lines folded away from the viewer
	Marks    = "MARKS"     // ticks and nose lines: marked, never cut through
)

// layers lists all layers in the order of the table, with the colour number
// and line type of each. The colours only tell layers apart on a screen.
var layers = []struct {
	name, lineType string
	colour         int
}{
	{"0", "CONTINUOUS", 7}, // every drawing has it
	{Cut, "CONTINUOUS", 7},
	{BendUp, "DASHDOT", 3},
	{BendDown, "DASHED", 5},
	{Marks, "CONTINUOUS", 1},
}

// layerOf says on which layer a pen draws; pens that are not listed are left
// out.
var layerOf = map[draw.Pen]string{
	draw.Outline:  Cut,
	draw.BendUp:   BendUp,
	draw.BendDown: BendDown,
	draw.CutMark:  Marks,
	draw.NoseLine: Marks,
}

// lineType is a row of dashes and, below 0, gaps in millimetres.
type lineType struct {
	name, words string
	dashes      []float64
}

// lineTypes lists all line types in the order of the table.
var lineTypes = []lineType{
	{"CONTINUOUS", "solid", nil},
	{"DASHED", "dashes", []float64{8, -1.5}},
	{"DASHDOT", "dashes and dots", []float64{8, -1.5, 0, -1.5}},
}
