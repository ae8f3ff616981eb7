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
	what := "face " + b.Faces[m.Face].ID + " and the curve of bend "
	if m.Bend >= 0 {
		what += b.Joints[m.Bend].ID
	} else {
		what = "faces " + b.Faces[m.Face].ID + " and " + b.Faces[m.Other].ID
	}
	if m.Shorter < 0 {
		return b.Part.Refuse(b.Pointer(-1), "%s run through each other when the part is folded; change an angle or a size between them", what)
	}
	return b.Part.Refuse(b.Pointer(fold.NewTree(b, 0).Via[m.Shorter]), "%s run through each other when the part is folded; make %s shorter by %s mm or more",
		what, b.Faces[m.Shorter].ID, (m.By + 0.05).Text(1))
}
