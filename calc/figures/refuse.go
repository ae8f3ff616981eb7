package figures

import (
	"fmt"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// refused refuses a blank that no brake could bend into its part.
func refused(b *flat.Blank) error {
	for _, check := range []func(*flat.Blank) error{cracks, throughItself, hemsBegin} {
		if err := check(b); err != nil {
			return err
		}
	}
	return nil
}

// cracks refuses a part with a bend that cracks on any brake. Below the least
// radius of the material's table the plan cautions; below half of it the bend is
// refused: that far off it is a slip in the drawing or the wrong temper, and no
// trial strip is worth cutting (common practice, no source). A hem is meant to
// be flat and is not asked.
func cracks(b *flat.Blank) error {
	for i, j := range b.Joints {
		least, ok := b.Sheet.LeastRadius(j.Bend.Angle, b.RunOf(j))
		if !ok || j.Hem != part.NoHem || j.Bend.Radius >= least.Least/2-radiusHair {
			continue
		}
		return b.Part.Refuse(radiusPointer(b, i),
			"bend %s: an inside radius of %s mm in %s mm %s cracks; at least %s mm is needed, and %s mm or more is advised",
			j.ID, j.Bend.Radius.Text(2), b.Sheet.Thickness.Text(2), b.Sheet.Material.Words, least.Least.Text(2), least.Advised.Text(2))
	}
	return nil
}

// radiusHair forgives the rounding of a radius that was converted from inches.
const radiusHair unit.MM = 0.01

// radiusPointer is where the radius of a bend stands in the part's file.
func radiusPointer(b *flat.Blank, joint int) string {
	if f := b.Part.Flat; f != nil {
		for i, drawn := range f.Bends {
			if drawn.ID == b.Joints[joint].ID && drawn.Radius > 0 {
				return fmt.Sprintf("/flat/bends/%d/radius", i)
			}
		}
	}
	return "/inside_radius"
}

// throughItself refuses a part of which faces run through each other, or through
// the curve of a bend, when it is finished, and names what would part them.
func throughItself(b *flat.Blank) error {
	m, hit := fold.Meet(b)
	if !hit {
		return nil
	}
	one, other := b.Faces[m.Face].ID, ""
	apart := "faces %s and %s run through each other when the part is folded; change an angle or a size between them"
	shorter := "faces %s and %s run through each other when the part is folded; make %s shorter by %s mm or more"
	if m.Bend >= 0 {
		other = b.Joints[m.Bend].ID
		apart = "face %s runs through the curve of bend %s when the part is folded; change an angle or a size between them"
		shorter = "face %s runs through the curve of bend %s when the part is folded; make %s shorter by %s mm or more"
	} else {
		other = b.Faces[m.Other].ID
	}
	if m.Shorter < 0 {
		return b.Part.Refuse(b.Pointer(-1), apart, one, other)
	}
	pointer := b.Pointer(fold.NewTree(b, 0).Via[m.Shorter])
	return b.Part.Refuse(pointer, shorter, one, other, b.Faces[m.Shorter].ID, (m.By + 0.05).Text(1))
}

// hemsBegin refuses a hem that is used up by the bend it begins with.
func hemsBegin(b *flat.Blank) error {
	for i, j := range b.Joints {
		if j.Hem == part.NoHem {
			continue
		}
		if _, err := b.Begun([]int{i}, process.HemBegins); err != nil {
			least := 2*b.BegunBend(i, process.HemBegins).Allowance() + b.Sheet.Thickness
			return b.Part.Refuse(b.Pointer(i),
				"hem %s is too short to be bent up before it is flattened; make it and the wall it folds onto %s mm or more", j.ID, least.Text(1))
		}
	}
	return nil
}
