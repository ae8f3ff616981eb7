package process

import "brakeside/calc/geom"

// Role is what a Shape of an end view is.
type Role string

// The roles.
const (
	BedShape      Role = "bed"
	LeafShape     Role = "leaf"
	BarShape      Role = "bar"
	ClampedShape  Role = "clamped"
	SwingingShape Role = "swinging"
	StripShape    Role = "strip" // laid into a hem or under the back of a bar
)

// Shape is one body of an end view, cut square to the bend: X from the hinge to
// the back, Y up from the bed.
type Shape struct {
	Role    Role
	Outline geom.Polygon
}
