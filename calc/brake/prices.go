package brake

import (
	"maps"
	"slices"
)

type fileMinutes struct {
	Bend              float64            `json:"bend"`
	FirstSetup        float64            `json:"first_setup"`
	TurnOver          float64            `json:"turn_over"`
	RotatePer90       float64            `json:"rotate_per_90"`
	BarChange         float64            `json:"bar_change"`
	PerFinger         float64            `json:"per_finger_placed"`
	LeafChange        float64            `json:"leaf_extension_change"`
	StopChange        float64            `json:"stop_change"`
	SlideBarOut       float64            `json:"slide_bar_out"`
	PackingStrip      float64            `json:"packing_strip"`
	PartAtEnd         *float64           `json:"part_at_brake_end"`
	HeavierSideSwings float64            `json:"heavier_side_swings"`
	SetNose           *float64           `json:"set_nose_back"`
	HoldWithinMargin  *float64           `json:"hold_within_margin"`
	PlacedByEye       *float64           `json:"placed_by_eye"`
	BarEndAtWall      *float64           `json:"bar_end_at_wall"`
	BendEndAtBrakeEnd *float64           `json:"bend_end_at_brake_end"`
	BarPreference     map[string]float64 `json:"bar_preference"`
}

// What a brake file that names no such price is taken to ask, in minutes, so that it
// prefers what a practitioner would (common practice, no source).
const (
	usualPartAtEnd         = 0.1
	usualSetNose           = 0.4
	usualHoldWithinMargin  = 0.3
	usualPlacedByEye       = 0.4
	usualBarEndAtWall      = 0.2
	usualBendEndAtBrakeEnd = 0.2
)

// usualPreference is that of a bar for which the file names none: a bar in one piece
// gives one nose setback for the whole bend and the most even result.
var usualPreference = map[Kind]float64{FullBar: 0, Round: 0, Slotted: 0.15, Segments: 0.25}

// minutes reads the prices; amount refuses what is none, with the name of its field.
func (f fileMinutes) minutes(amount func(field string, v float64) float64) Minutes {
	usual := func(field string, v *float64, usual float64) float64 {
		if v == nil {
			return usual
		}
		return amount(field, *v)
	}
	m := Minutes{
		Bend:              amount("bend", f.Bend),
		FirstSetup:        amount("first_setup", f.FirstSetup),
		TurnOver:          amount("turn_over", f.TurnOver),
		RotatePer90:       amount("rotate_per_90", f.RotatePer90),
		BarChange:         amount("bar_change", f.BarChange),
		PerFinger:         amount("per_finger_placed", f.PerFinger),
		LeafChange:        amount("leaf_extension_change", f.LeafChange),
		StopChange:        amount("stop_change", f.StopChange),
		SlideBarOut:       amount("slide_bar_out", f.SlideBarOut),
		PackingStrip:      amount("packing_strip", f.PackingStrip),
		PartAtEnd:         usual("part_at_brake_end", f.PartAtEnd, usualPartAtEnd),
		HeavierSideSwings: amount("heavier_side_swings", f.HeavierSideSwings),
		SetNose:           usual("set_nose_back", f.SetNose, usualSetNose),
		HoldWithinMargin:  usual("hold_within_margin", f.HoldWithinMargin, usualHoldWithinMargin),
		PlacedByEye:       usual("placed_by_eye", f.PlacedByEye, usualPlacedByEye),
		BarEndAtWall:      usual("bar_end_at_wall", f.BarEndAtWall, usualBarEndAtWall),
		BendEndAtBrakeEnd: usual("bend_end_at_brake_end", f.BendEndAtBrakeEnd, usualBendEndAtBrakeEnd),
		BarPreference:     maps.Clone(f.BarPreference),
	}
	for _, name := range slices.Sorted(maps.Keys(f.BarPreference)) {
		amount("bar_preference/"+name, f.BarPreference[name])
	}
	return m
}

// prefer adds what is usual for the bars that the file does not name.
func (m *Minutes) prefer(bars []Bar) {
	if m.BarPreference == nil {
		m.BarPreference = map[string]float64{}
	}
	for _, bar := range bars {
		if _, named := m.BarPreference[bar.Name]; !named {
			m.BarPreference[bar.Name] = usualPreference[bar.Kind]
		}
	}
}
