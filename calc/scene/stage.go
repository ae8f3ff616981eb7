package scene

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// stage is a part at one moment.
type stage struct {
	blank  *flat.Blank
	tree   *fold.Tree
	shares []float64  // by joint: 0 is flat, 1 is made
	pose   geom.Frame // from the blank, as the root of the tree lies in it, into the scene
	moving fold.Made  // the joints that are being bent
}

// swings reports whether a face moves.
func (s *stage) swings(face int) bool { return s.tree.Path[face]&s.moving != 0 }

// settled is a stage with some joints made, the root lying as in the blank.
func settled(b *flat.Blank, root int, made fold.Made) *stage {
	s := &stage{blank: b, tree: fold.NewTree(b, root), shares: make([]float64, len(b.Joints)), pose: geom.Fixed}
	for i := range s.shares {
		if made.Has(i) {
			s.shares[i] = 1
		}
	}
	return s
}

// largest is the face of the largest area.
func largest(b *flat.Blank) int {
	best, most := 0, 0.0
	for i, f := range b.Faces {
		sum := 0.0
		for _, g := range f.Solid {
			sum += g.Area()
		}
		if sum > most+geom.Near {
			best, most = i, sum
		}
	}
	return best
}

// atBrake is a part in the brake while the bend of a step stands at an angle.
func atBrake(p *process.Plan, s *process.Step, angle unit.Deg) *stage {
	at := settled(p.Blank, p.Blank.FaceIndex(s.Clamped), 0)
	at.pose = s.Pose
	for _, earlier := range p.Steps[:s.Number-1] {
		for _, j := range earlier.Joints {
			at.shares[j] = 1
		}
	}
	for _, j := range s.Joints {
		at.shares[j] = float64(angle) / math.Abs(float64(p.Blank.Joints[j].Angle))
		at.moving = at.moving.With(j)
	}
	return at
}

// corners are all corners of the flats of a part where a stage puts them.
func corners(s *stage) (out []geom.Point3) {
	frames := s.tree.PlaceAt(func(joint int) float64 { return s.shares[joint] })
	for i, f := range s.blank.Faces {
		for _, g := range f.Solid {
			for _, z := range real(s.blank) {
				out = append(out, placed(g, z, frames[i].Then(s.pose))...)
			}
		}
	}
	return out
}

// mostLong is how many times as long as wide and high a part is shown at the brake:
// a longer one is shortened along the brake, or its flaps would be lines.
const mostLong = 4.0

// squeeze is by how much a part is shortened along the brake.
func squeeze(s *stage) float64 {
	var low, high geom.Point3
	for i, p := range corners(s) {
		if i == 0 {
			low, high = p, p
		}
		low = geom.Point3{X: min(low.X, p.X), Y: min(low.Y, p.Y), Z: min(low.Z, p.Z)}
		high = geom.Point3{X: max(high.X, p.X), Y: max(high.Y, p.Y), Z: max(high.Z, p.Z)}
	}
	size := high.Sub(low)
	return min(1, mostLong*max(size.Y, size.Z)/size.X)
}

// real are the levels of a sheet with thickness, paper those of one without.
func real(b *flat.Blank) []float64 { return []float64{0, float64(b.Sheet.Thickness)} }

func paper(b *flat.Blank) []float64 { return []float64{float64(b.Sheet.Thickness) / 2} }

func placed(g geom.Polygon, z float64, f geom.Frame) []geom.Point3 {
	out := make([]geom.Point3, len(g))
	for i, p := range g {
		out[i] = f.Place(geom.Point3{X: p.X, Y: p.Y, Z: z})
	}
	return out
}
