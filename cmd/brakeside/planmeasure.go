package main

import (
	"brakeside/calc/geom"
	"brakeside/calc/process"
)

// jsonTouch is what a rule or a caliper is laid on.
type jsonTouch struct {
	Kind string `json:"kind"` // sheared-edge, bend or line
	Face string `json:"face,omitempty"`
	Bend string `json:"bend,omitempty"`
}

// jsonCheck is one drawn size that can be measured after a step.
type jsonCheck struct {
	MM   float64   `json:"mm"`
	Kind string    `json:"kind"` // leg, overall or hem
	Face string    `json:"face"`
	To   jsonTouch `json:"to"`
}

// jsonTool is where a bar or a finger lies, from the left end of the usable
// length.
type jsonTool struct {
	Tool string  `json:"tool"`
	From float64 `json:"from"`
	To   float64 `json:"to"`
}

func touchJSON(t process.Touch) jsonTouch { return jsonTouch{string(t.Kind), t.Face, t.Bend} }

func checksJSON(checks []process.Check) []jsonCheck {
	out := []jsonCheck{}
	for _, c := range checks {
		out = append(out, jsonCheck{tidy(float64(c.Size)), string(c.Kind), c.Face, touchJSON(c.To)})
	}
	return out
}

func toolsJSON(tools []process.ToolAt) []jsonTool {
	out := []jsonTool{}
	for _, t := range tools {
		out = append(out, jsonTool{t.Tool, tidy(float64(t.From)), tidy(float64(t.To))})
	}
	return out
}

// poseJSON writes a placement row by row, the shift in the last column.
func poseJSON(f geom.Frame) [3][4]float64 {
	return [3][4]float64{
		{f.X.X, f.Y.X, f.Z.X, f.Origin.X},
		{f.X.Y, f.Y.Y, f.Z.Y, f.Origin.Y},
		{f.X.Z, f.Y.Z, f.Z.Z, f.Origin.Z},
	}
}
