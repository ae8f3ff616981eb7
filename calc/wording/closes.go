package wording

import (
	"fmt"
	"slices"

	"brakeside/calc/fitting"
	"brakeside/calc/order"
)

// closes tells with which bars a bend that is left can no longer be made
// because of the one made last, and which can no longer be made as things
// stand.
func closes(s *fitting.Station, made order.Made, last int) []string {
	var out []string
	for next, joints := range s.Operations {
		if made.Has(next) {
			continue
		}
		word := s.Plan.Blank.Joints[joints[0]].Word
		before, after := s.Bars(made&^(1<<last), next), s.Bars(made, next)
		if len(before) > 0 && len(after) == 0 {
			out = append(out, fmt.Sprintf("bend %s must wait for another bend", word))
			continue
		}
		var lost []string
		for _, bar := range before {
			if !slices.Contains(after, bar) {
				lost = append(lost, fitting.BarName(&s.Plan.Brake.Bars[bar]))
			}
		}
		if lost != nil {
			out = append(out, fmt.Sprintf("bend %s can no longer be made with %s", word, listed(lost, "or")))
		}
	}
	return out
}
