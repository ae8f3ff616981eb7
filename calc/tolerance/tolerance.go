// Package tolerance tells how far a size or an angle may be off, and how far
// off it is likely to come out on this brake: holds, tight, or not on this
// brake.
//
// Lengths are millimetres, angles degrees. What may be off comes from the
// drawing, or from ISO 2768-1 where the drawing says nothing. What is likely
// comes from what the shop can do, see Capability, added up along the chain of
// bends between the edge a part is gauged from and the size that is checked.
package tolerance

import (
	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// Class is a class of ISO 2768-1.
type Class string

// The classes.
const (
	Fine       Class = "f"
	Medium     Class = "m"
	Coarse     Class = "c"
	VeryCoarse Class = "v"
)

// band is what is allowed up to a size; 0 allows nothing to be said.
type band struct {
	upTo    float64
	allowed [4]float64 // f, m, c, v
}

// lengths is table 1 of ISO 2768-1:1989, plus or minus, in millimetres. Read in
// public tables that agree, not in the standard itself.
var lengths = []band{
	{3, [4]float64{0.05, 0.1, 0.2, 0}},
	{6, [4]float64{0.05, 0.1, 0.3, 0.5}},
	{30, [4]float64{0.1, 0.2, 0.5, 1}},
	{120, [4]float64{0.15, 0.3, 0.8, 1.5}},
	{400, [4]float64{0.2, 0.5, 1.2, 2.5}},
	{1000, [4]float64{0.3, 0.8, 2, 4}},
	{2000, [4]float64{0.5, 1.2, 3, 6}},
	{4000, [4]float64{0, 2, 4, 8}},
}

// angles is table 3 of ISO 2768-1:1989, by the shorter side of the angle, plus
// or minus, in minutes. Read as lengths.
var angles = []band{
	{10, [4]float64{60, 60, 90, 180}},
	{50, [4]float64{30, 30, 60, 120}},
	{120, [4]float64{20, 20, 30, 60}},
	{400, [4]float64{10, 10, 15, 30}},
	{1e9, [4]float64{5, 5, 10, 20}},
}

// leastLength is where table 1 begins.
const leastLength = 0.5

// Length is how far a length may be off, plus or minus, by ISO 2768-1. Lengths
// outside the table and unknown classes are refused as fault.Invalid.
func (c Class) Length(length unit.MM) (unit.MM, error) {
	if length < leastLength {
		return 0, fault.New(fault.Invalid, "length", "ISO 2768-1 says nothing of lengths under 0.5 mm.")
	}
	allowed, err := c.find(lengths, float64(length))
	return unit.MM(allowed), err
}

// Angle is how far an angle may be off, plus or minus, by ISO 2768-1, from the
// length of its shorter leg.
func (c Class) Angle(leg unit.MM) (unit.Deg, error) {
	if !(leg > 0) {
		return 0, fault.New(fault.Invalid, "leg", "A leg must be longer than 0.")
	}
	minutes, err := c.find(angles, float64(leg))
	return unit.Deg(minutes / 60), err
}

func (c Class) find(table []band, size float64) (float64, error) {
	column, known := map[Class]int{Fine: 0, Medium: 1, Coarse: 2, VeryCoarse: 3}[c]
	if !known {
		return 0, fault.New(fault.Invalid, "class", "ISO 2768-1 has the classes f, m, c and v, not %q.", string(c))
	}
	for _, b := range table {
		if size <= b.upTo {
			if b.allowed[column] == 0 {
				break
			}
			return b.allowed[column], nil
		}
	}
	return 0, fault.New(fault.Invalid, "length", "ISO 2768-1 class %s says nothing of %v mm.", string(c), size)
}
