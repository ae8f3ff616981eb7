package brake

import "brakeside/calc/unit"

// RoomByEye is the room that whoever places something by eye needs, InsideEnd how far
// the end of a bend should lie inside the end of what clamps it (both common
// practice, no source).
const (
	RoomByEye unit.MM = 1
	InsideEnd unit.MM = 3
)

// Minutes are the handling times of this shop, and what it gives to have a set-up
// rather than another.
type Minutes struct {
	Bend, FirstSetup, TurnOver, RotatePer90, BarChange, PerFinger float64
	LeafChange, StopChange, SlideBarOut, PackingStrip, PartAtEnd  float64
	HeavierSideSwings                                             float64
	// SetNose is setting the nose back anew, after every change of bar or fingers.
	SetNose float64
	// The others keep a set-up sane where it costs little: a load within the margin
	// of the magnet's hold; a place along the brake that must be hit by eye to less
	// than RoomByEye either way; the end of a bar or the bed nearer to a wall than
	// RoomByEye; and the end of a bend that does not lie InsideEnd inside that of
	// the brake, where the part hangs past it.
	HoldWithinMargin, PlacedByEye, BarEndAtWall, BendEndAtBrakeEnd float64
	// BarPreference is what each bar costs a bend more than the one liked most.
	BarPreference map[string]float64
}
