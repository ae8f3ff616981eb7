package main

import (
	"fmt"
	"strings"

	"brakeside/calc/process"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
)

// What is expected of a plan's sizes and angles, by what a leaf brake worked by
// hand usually holds.

// jsonLikely is one checked size or angle; mm or degrees.
type jsonLikely struct {
	Step      int     `json:"step"`
	What      string  `json:"what"`
	Unit      string  `json:"unit"`
	Nominal   float64 `json:"nominal"`
	Tolerance float64 `json:"tolerance"`
	Asked     bool    `json:"asked"` // by the drawing; else it is the usual one
	Spread    float64 `json:"spread"`
	Bends     int     `json:"bends_between"`
	Verdict   string  `json:"verdict"` // holds, tight, not on this brake
	Outside   float64 `json:"outside"` // share of pieces expected outside the tolerance
}

func likelyJSON(p *process.Plan) []jsonLikely {
	out := []jsonLikely{}
	for _, l := range p.Likely(tolerance.Usual) {
		measure := "mm"
		if l.Angle {
			measure = "deg"
		}
		out = append(out, jsonLikely{l.Step, l.What, measure, l.Nominal, l.Tolerance, l.Asked, l.Spread, l.Bends, l.Verdict.Words(), l.Outside})
	}
	return out
}

// likelyWords says it for one step in a line.
func likelyWords(p *process.Plan, number int, in lengths) string {
	var text string
	for _, l := range p.Likely(tolerance.Usual) {
		switch {
		case l.Step != number:
		case l.Angle:
			text = fmt.Sprintf("angle +-%s %s", unit.Deg(l.Tolerance).Text(1), l.Verdict.Words())
		default:
			text += fmt.Sprintf("; size +-%s %s", in.size(unit.MM(l.Tolerance)), l.Verdict.Words())
			if l.Bends > 0 {
				text += fmt.Sprintf(" (over %d more bend", l.Bends)
				if l.Bends > 1 {
					text += "s"
				}
				text += ")"
			}
		}
	}
	return strings.TrimPrefix(text, "; ") // a hem has no angle to hold
}
