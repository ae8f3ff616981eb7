package calc

import (
	"brakeside/calc/flat"
	"brakeside/calc/fold"
)

// throughItself refuses a part of which faces run through each other when it is
// finished, and names what would part them.
func throughItself(b *flat.Blank) error {
	m, hit := fold.Meet(b)
	if !hit {
		return nil
	}
	one, other := b.Faces[m.Faces[0]].ID, b.Faces[m.Faces[1]].ID
	if m.Shorter < 0 {
		return b.Part.Refuse(b.Pointer(-1), "faces %s and %s run through each other when the part is folded; change an angle or a size between them", one, other)
	}
	return b.Part.Refuse(b.Pointer(fold.NewTree(b, 0).Via[m.Shorter]), "faces %s and %s run through each other when the part is folded; make %s shorter by %s mm or more",
		one, other, b.Faces[m.Shorter].ID, (m.By + 0.05).Text(1))
}
