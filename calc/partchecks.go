package calc

import (
	"brakeside/calc/flat"
	"brakeside/calc/fold"
)

// throughItself refuses a part of which faces run through each other, or through
// the curve of a bend, when it is finished, and names what would part them.
func throughItself(b *flat.Blank) error {
	m, hit := fold.Meet(b)
	if !hit {
		return nil
	}
	one, other := b.Faces[m.Face].ID, ""
	whole, shorter := "faces %s and %s run through each other when the part is folded; change an angle or a size between them",
		"faces %s and %s run through each other when the part is folded; make %s shorter by %s mm or more"
	if m.Bend >= 0 {
		other = b.Joints[m.Bend].ID
		whole, shorter = "face %s runs through the curve of bend %s when the part is folded; change an angle or a size between them",
			"face %s runs through the curve of bend %s when the part is folded; make %s shorter by %s mm or more"
	} else {
		other = b.Faces[m.Other].ID
	}
	if m.Shorter < 0 {
		return b.Part.Refuse(b.Pointer(-1), whole, one, other)
	}
	pointer := b.Pointer(fold.NewTree(b, 0).Via[m.Shorter])
	return b.Part.Refuse(pointer, shorter, one, other, b.Faces[m.Shorter].ID, (m.By + 0.05).Text(1))
}
