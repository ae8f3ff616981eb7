package clash

import (
	"slices"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
)

// solids are the convex bodies of a part before they are put anywhere, worked
// out when first asked for.
type solids struct {
	plates [][][]geom.Point3    // by face
	cores  [][][]geom.Point3    // by face, made smaller all round
	zones  [2][][][]geom.Point3 // by joint, flat and bent
}

func newSolids(b *flat.Blank) solids {
	s := solids{plates: make([][][]geom.Point3, len(b.Faces)), cores: make([][][]geom.Point3, len(b.Faces))}
	for i := range s.zones {
		s.zones[i] = make([][][]geom.Point3, len(b.Joints))
	}
	return s
}

// plates gives the bodies of a face.
func (b *Bench) plates(face int) [][]geom.Point3 {
	if b.solids.plates[face] == nil {
		for _, g := range b.Blank.Faces[face].Solid {
			b.solids.plates[face] = append(b.solids.plates[face], geom.Prism(g, 0, float64(b.Blank.Sheet.Thickness)))
		}
	}
	return b.solids.plates[face]
}

// cores gives the bodies of a face made thinner and smaller all round by half the
// contact allowance: formed corners of one part give that much.
func (b *Bench) cores(face int) [][]geom.Point3 {
	if b.solids.cores[face] == nil {
		thick, by := float64(b.Blank.Sheet.Thickness), float64(b.Brake.PartContactAllowance)/2
		skin := min(by, 0.45*thick)
		out := make([][]geom.Point3, 0, 1)
		for _, g := range b.Blank.Faces[face].Solid {
			if inner := g.Inset(by); inner != nil {
				out = append(out, geom.Prism(inner, skin, thick-skin))
			}
		}
		b.solids.cores[face] = out
	}
	return b.solids.cores[face]
}

// zone gives the bodies of the bend by which a face hangs, where its parent lies.
func (b *Bench) zone(face int, made fold.Made) [][]geom.Point3 {
	via, state := b.tree.Via[face], 0
	if made.Has(via) {
		state = 1
	}
	zones := b.solids.zones[state]
	if zones[via] == nil {
		j := b.Blank.Joints[via]
		across := j.Across
		if j.Faces[1] == b.tree.Up[face] {
			across = across.Times(-1)
		}
		zones[via] = fold.Zone(j, across, made.Has(via))
	}
	return zones[via]
}

// bodies gives the convex bodies of a face on the brake, with the zone of the
// bend by which it hangs unless that is being made now. Plate bodies come
// first; plates tells how many.
func (b *Bench) bodies(face int, made fold.Made) (all [][]geom.Point3, plates int) {
	all, plates, _ = b.placed(nil, face, made)
	return all, plates
}

// placed is bodies with room for their corners; it gives back the room, grown.
func (b *Bench) placed(room []geom.Point3, face int, made fold.Made) (all [][]geom.Point3, plates int, _ []geom.Point3) {
	all, room = appendPlaced(nil, room[:0], b.plates(face), b.frame(face, made))
	plates = len(all)
	if via := b.tree.Via[face]; via >= 0 && !b.bends(via) {
		all, room = appendPlaced(all, room, b.zone(face, made), b.frame(b.tree.Up[face], made))
	}
	return all, plates, room
}

// appendPlaced puts bodies on the brake, their corners one after the other.
func appendPlaced(all [][]geom.Point3, room []geom.Point3, bodies [][]geom.Point3, f geom.Frame) ([][]geom.Point3, []geom.Point3) {
	corners := 0
	for _, body := range bodies {
		corners += len(body)
	}
	room = slices.Grow(room, corners)
	for _, body := range bodies {
		n := len(room)
		room = geom.AppendPlaced(room, body, f)
		all = append(all, room[n:len(room):len(room)])
	}
	return all, room
}

// laid are the cores of a face where one pattern of bends puts them.
type laid struct {
	made  fold.Made // of the bends between the face and the clamped one
	cores [][]geom.Point3
	boxes []turnedBox // around them
	room  []geom.Point3
}

// eroded gives the cores of a face on the brake when the bend is finished, until
// it is asked about another pattern: a set of bends asks about a face many times.
func (b *Bench) eroded(face int, made fold.Made) *laid {
	l := &b.laid[face]
	if way := b.target(made) & b.tree.Path[face]; l.cores == nil || l.made != way {
		l.made = way
		l.cores, l.room = appendPlaced(l.cores[:0], l.room[:0], b.cores(face), b.frame(face, way))
		l.boxes = l.boxes[:0]
		for _, core := range l.cores {
			l.boxes = append(l.boxes, boxAround(core, -b.Target.Rad(), 0))
		}
	}
	return l
}
