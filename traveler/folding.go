package traveler

import (
	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/scene"
)

// Frame is one picture of the flat blank turning into the part. All frames of a part
// lie in one system of coordinates.
type Frame struct {
	Step    int  // being made; 0: the flat blank
	Whole   bool // its bends are made
	Picture *Picture
}

// How many frames a step has: fewer where there are many steps, so that all of them
// together stay small.
const (
	mostFrames = 28
	leastAStep = 2
	mostAStep  = 4
)

// Folding draws how a blank becomes the part in the order of a traveler. A blank that
// has other bends than the traveler is refused.
func Folding(t *Traveler, b *flat.Blank) ([]Frame, error) {
	steps := make([][]int, len(t.Steps))
	found := 0
	for _, line := range t.Blank.Lines {
		for i, j := range b.Joints {
			if j.ID == line.Bend && line.Step >= 1 && line.Step <= len(steps) {
				steps[line.Step-1] = append(steps[line.Step-1], i)
				found++
			}
		}
	}
	if found != len(t.Blank.Lines) || found != len(b.Joints) {
		return nil, fault.New(fault.Missing, "",
			"The part that is kept now has other bends than this traveler. Look at the pictures of the steps.")
	}
	each := min(mostAStep, max(leastAStep, mostFrames/max(1, len(steps))))
	var out []Frame
	for i, p := range scene.Folding(b, steps, each) {
		out = append(out, Frame{Step: (i + each - 1) / each, Whole: i%each == 0, Picture: FreezePicture(b, p)})
	}
	return out, nil
}
