package flat

import (
	"slices"

	"brakeside/calc/bend"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// BegunBend is the bend that a hem begins with: turned by an angle of less than
// 180 degrees over the radius of the other bends, not yet flattened.
func (b *Blank) BegunBend(joint int, angle unit.Deg) bend.Bend {
	j := b.Joints[joint]
	radius := b.Part.InsideRadius
	if radius == 0 {
		radius = b.Sheet.UsualRadius()
	}
	begun, _ := b.Making.Practice.Reckon(bend.Making{
		Sheet: b.Sheet, Pinned: b.Part.K, Tool: b.Making.Tools[j.ID],
		Bend: bend.Bend{Angle: angle, Radius: radius, Thickness: b.Sheet.Thickness},
	})
	return begun
}

// Begun gives the blank with the hems of some joints begun only, as ordinary
// bends of an angle. What stands between the bends then may be used up: that is
// refused, without a place in the part's file.
func (b *Blank) Begun(joints []int, angle unit.Deg) (*Blank, error) {
	out := &Blank{Part: b.Part, Sheet: b.Sheet, Making: b.Making, rounds: slices.Clone(b.rounds), Joints: slices.Clone(b.Joints)}
	for _, f := range b.Faces {
		out.Faces = append(out.Faces, copied(f))
	}
	for _, i := range joints {
		j := &out.Joints[i]
		j.Hem, j.Bend = part.NoHem, b.BegunBend(i, angle)
		if j.Angle = angle; !b.Joints[i].Up() {
			j.Angle = -angle
		}
	}
	return out.rebuilt()
}
