package fold_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/stock"
)

type failer interface {
	Helper()
	Errorf(format string, values ...any)
	Fatalf(format string, values ...any)
}

func near(t failer, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s = %.9f, want %.9f", what, got, want)
	}
}

// develop works out a part of 1 mm mild steel with inside radius 1.
func develop(t failer, shape string) *flat.Blank {
	t.Helper()
	p, err := part.Read([]byte(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,` + shape + `}`))
	if err != nil {
		t.Fatalf("%v", err)
	}
	m, err := stock.Find("mild-steel")
	if err != nil {
		t.Fatalf("%v", err)
	}
	b, err := flat.Develop(p, stock.Sheet{Material: m, Thickness: p.Thickness})
	if err != nil {
		t.Fatalf("%v", err)
	}
	return b
}

const box = `"tray":{"base":[200,120],"walls":{"left":[{"leg":40},{"leg":15}],"right":[{"leg":40},{"leg":15,"angle":-90}],"front":[{"leg":30,"angle":60}],"back":[{"leg":40},{"leg":12},{"leg":11,"angle":-45}]}}`

// anyMade draws a set of bends.
func anyMade(t *rapid.T, b *flat.Blank) fold.Made {
	return fold.Made(rapid.Uint64Range(0, 1<<len(b.Joints)-1).Draw(t, "made"))
}

func TestMade(t *testing.T) {
	m := fold.Made(0).With(3).With(63)
	if !m.Has(3) || !m.Has(63) || m.Has(2) {
		t.Errorf("the set of 3 and 63 is %b", m)
	}
	for n, want := range map[int]fold.Made{0: 0, 1: 1, 3: 7, 64: math.MaxUint64} {
		if got := fold.All(n); got != want {
			t.Errorf("All(%d) = %b, want %b", n, got, want)
		}
	}
	if last := fold.Made(0).With(fold.MostJoints - 1); last == 0 {
		t.Error("the last joint does not fit")
	}
}

func TestTree(t *testing.T) {
	b := develop(t, box)
	for root := range b.Faces {
		tree := fold.NewTree(b, root)
		if len(tree.Order) != len(b.Faces) || tree.Order[0] != root || tree.Up[root] != -1 || tree.Via[root] != -1 {
			t.Fatalf("the tree from %d is %+v", root, tree)
		}
		seen := map[int]bool{root: true}
		for _, f := range tree.Order[1:] {
			j := b.Joints[tree.Via[f]]
			joins := (j.Faces[0] == f && j.Faces[1] == tree.Up[f]) || (j.Faces[1] == f && j.Faces[0] == tree.Up[f])
			if !joins || !seen[tree.Up[f]] || tree.Path[f] != tree.Path[tree.Up[f]].With(tree.Via[f]) {
				t.Errorf("face %d hangs on %d by joint %d, path %b", f, tree.Up[f], tree.Via[f], tree.Path[f])
			}
			seen[f] = true
		}
	}
}

// With no bend made the folded part is the blank.
func TestNothingMadeIsTheBlank(t *testing.T) {
	b := develop(t, box)
	for root := range b.Faces {
		for f, frame := range fold.NewTree(b, root).Place(0) {
			if frame != geom.Fixed {
				t.Errorf("from face %d face %d lies at %v in the blank", root, f, frame)
			}
		}
	}
}

// A square L by hand: t = r = 1, K = 0.33, legs 30 and 40. The base lies at z 0 to
// 1 and ends, with the wall's outer face, 30 from its free end; the wall stands 40
// high over the base's lower face.
func TestSquareBendByHand(t *testing.T) {
	for _, test := range []struct {
		angle     int
		low, high float64 // of the wall along z
	}{{90, 0, 40}, {-90, -39, 1}} {
		b := develop(t, fmt.Sprintf(`"profile":{"length":100,"legs":[30,40],"bends":[%d]}`, test.angle))
		solids := fold.NewTree(b, 0).Solids(fold.All(1))
		wall := solids[1][0]
		y1, y2 := geom.Span(wall, func(p geom.Point3) float64 { return p.Y })
		z1, z2 := geom.Span(wall, func(p geom.Point3) float64 { return p.Z })
		near(t, "inner face of the wall", y1, 29, 1e-9)
		near(t, "outer face of the wall", y2, 30, 1e-9)
		if test.angle > 0 {
			near(t, "foot of the wall", z1, 2, 1e-9)
			near(t, "top of the wall", z2, 40, 1e-9)
		} else {
			near(t, "top of the wall", z1, -39, 1e-9)
			near(t, "foot of the wall", z2, -1, 1e-9)
		}
	}
}

// Every placement is rigid: axes of length 1, square to each other, right-handed,
// so that no face is stretched or mirrored.
func TestPlacesAreRigid(t *testing.T) {
	b := develop(t, box)
	rapid.Check(t, func(t *rapid.T) {
		root := rapid.IntRange(0, len(b.Faces)-1).Draw(t, "root")
		for f, frame := range fold.NewTree(b, root).Place(anyMade(t, b)) {
			name := b.Faces[f].ID
			near(t, name+" x", frame.X.Length(), 1, 1e-12)
			near(t, name+" y", frame.Y.Length(), 1, 1e-12)
			near(t, name+" x against y", frame.X.Dot(frame.Y), 0, 1e-12)
			near(t, name+" handedness", frame.X.Cross(frame.Y).Dot(frame.Z), 1, 1e-12)
		}
	})
}

// Where the faces lie to each other does not depend on which one is held.
func TestPoseDoesNotDependOnTheRoot(t *testing.T) {
	b := develop(t, box)
	rapid.Check(t, func(t *rapid.T) {
		made := anyMade(t, b)
		one := fold.NewTree(b, 0).Place(made)
		root := rapid.IntRange(1, len(b.Faces)-1).Draw(t, "root")
		other := fold.NewTree(b, root).Place(made)
		move := other[0].Inverse().Then(one[0]) // what takes the second pose to the first
		for f := range b.Faces {
			for _, p := range geom.Prism(b.Faces[f].Solid[0], 0, 1) {
				got, want := move.Place(other[f].Place(p)), one[f].Place(p)
				near(t, fmt.Sprintf("a corner of %s, held by %s", b.Faces[f].ID, b.Faces[root].ID), got.Sub(want).Length(), 0, 1e-9)
			}
		}
	})
}

// Unfolding: what a bend did to all that hangs on it, undone, is the pose without
// that bend.
func TestUnfoldingGivesTheBlankBack(t *testing.T) {
	b := develop(t, box)
	tree := fold.NewTree(b, 0)
	rapid.Check(t, func(t *rapid.T) {
		made := anyMade(t, b)
		frames := tree.Place(made)
		flat := make([]geom.Frame, len(frames))
		flat[0] = geom.Fixed
		for _, f := range tree.Order[1:] {
			undone := frames[f].Then(frames[tree.Up[f]].Inverse()) // as it hangs on its parent
			flat[f] = undone.Then(tree.Hinge(f, made).Inverse()).Then(flat[tree.Up[f]])
			for _, p := range geom.Prism(b.Faces[f].Solid[0], 0, 1) {
				near(t, "a corner of "+b.Faces[f].ID+" unfolded", flat[f].Place(p).Sub(p).Length(), 0, 1e-9)
			}
		}
	})
}

// A bend made in part keeps the length of its neutral line: from tangent to
// tangent it is an arc of the bend allowance, at K of the thickness from the
// inner face, whatever the angle so far.
func TestCurlKeepsTheNeutralLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.SampledFrom([]int{90, -90, 45, -120, 130}).Draw(t, "angle")
		share := rapid.Float64Range(0.001, 1).Draw(t, "share")
		b := develop(t, fmt.Sprintf(`"k":0.4,"profile":{"length":100,"legs":[30,40],"bends":[%d]}`, angle))
		j := b.Joints[0]
		frame := fold.Curl(j, j.Across, share)
		height := 0.4 // the neutral line over face B when the inside is A
		if j.Up() {
			height = 1 - 0.4
		}
		start := j.Tangents()[0][0]
		end := j.Tangents()[1][0]
		from := geom.Point3{X: start.X, Y: start.Y, Z: height}
		to := frame.Place(geom.Point3{X: end.X, Y: end.Y, Z: height})
		turned := math.Abs(j.Angle.Rad()) * share
		chord := to.Sub(from).Length()
		near(t, "the neutral arc", chord/2/math.Sin(turned/2)*turned, float64(j.Bend.Allowance()), 1e-6)
		on := frame.Turn(geom.Point3{Y: 1})
		near(t, "the angle turned", math.Acos(math.Min(1, on.Y)), turned, 1e-6)
		if (on.Z > 0) != j.Up() {
			t.Errorf("a bend of %d turns to z %v", angle, on.Z)
		}
	})
	b := develop(t, `"profile":{"length":100,"legs":[30,40],"bends":[90]}`)
	if got := fold.Curl(b.Joints[0], b.Joints[0].Across, 0); got != geom.Fixed {
		t.Errorf("not bent at all, the wall lies at %v", got)
	}
	full, hinge := fold.Curl(b.Joints[0], b.Joints[0].Across, 1), fold.NewTree(b, 0).Hinge(1, fold.All(1))
	near(t, "fully curled against folded", full.Origin.Sub(hinge.Origin).Length()+full.Y.Sub(hinge.Y).Length(), 0, 1e-12)
}

// The bodies of a made bend zone cover the whole piece of cylinder, and reach
// nowhere beyond the outer face of the sheet that the bend starts from.
func TestZoneCoversTheCylinder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := float64(rapid.IntRange(5, 150).Draw(t, "angle"))
		away := rapid.Bool().Draw(t, "away")
		sign, shape := 1.0, `"profile":{"length":100,"legs":[60,60],"bends":[%v]}`
		if away {
			sign = -1
		}
		b := develop(t, fmt.Sprintf(`"over_90":"tangent",`+shape, sign*angle))
		j := b.Joints[0]
		bodies := fold.Zone(j, j.Across, true)
		turn := angle * math.Pi / 180 * rapid.Float64Range(0, 1).Draw(t, "where around")
		radius := 1 + rapid.Float64Range(0, 1).Draw(t, "where through the sheet")
		over, height := radius*math.Sin(turn), 2-radius*math.Cos(turn)
		if away {
			height = 1 - height
		}
		y := j.Tangents()[0][0].Y + over
		p := []geom.Point3{{X: 50, Y: y, Z: height}}
		least := math.Inf(1)
		for _, body := range bodies {
			least = math.Min(least, geom.Separation(body, p))
		}
		near(t, fmt.Sprintf("the distance of a point of the bent metal (%v around, %v out) from its bodies", turn, radius), least, 0, 1e-5)
		for _, body := range bodies {
			low, high := geom.Span(body, func(p geom.Point3) float64 { return p.Z })
			if (!away && low < -1e-9) || (away && high > 1+1e-9) {
				t.Errorf("a body of the zone reaches from z %v to %v, beyond the sheet it starts from", low, high)
			}
		}
	})
}

func TestFlatZone(t *testing.T) {
	b := develop(t, `"profile":{"length":100,"legs":[30,40],"bends":[90]}`)
	zone := fold.Zone(b.Joints[0], b.Joints[0].Across, false)
	if len(zone) != 1 {
		t.Fatalf("a flat zone has %d bodies", len(zone))
	}
	low, high := geom.Span(zone[0], func(p geom.Point3) float64 { return p.Y })
	near(t, "where the flat zone begins", low, 28, 1e-9)
	near(t, "where the flat zone ends", high, 28+2.089159, 1e-6)
}

// manyFaces is a tray of 21 faces: five legs on each side.
const manyFaces = `"tray":{"base":[400,300],"walls":{
	"left":[{"leg":40},{"leg":20},{"leg":20,"angle":-90},{"leg":15,"angle":-90},{"leg":12,"angle":45}],
	"right":[{"leg":40},{"leg":20},{"leg":20,"angle":-90},{"leg":15,"angle":-90},{"leg":12,"angle":45}],
	"front":[{"leg":40},{"leg":20},{"leg":20,"angle":-90},{"leg":15,"angle":-90},{"leg":12,"angle":45}],
	"back":[{"leg":40},{"leg":20},{"leg":20,"angle":-90},{"leg":15,"angle":-90},{"leg":12,"angle":45}]}}`

// From what was read to where every solid stands; reading the file is apart.
func BenchmarkDevelopAndFold(b *testing.B) {
	drawn := develop(b, manyFaces)
	b.ReportAllocs()
	for b.Loop() {
		blank, err := flat.Develop(drawn.Part, drawn.Sheet)
		if err != nil {
			b.Fatal(err)
		}
		fold.NewTree(blank, 0).Solids(fold.All(len(blank.Joints)))
	}
}

func BenchmarkReadDevelopAndFold(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		blank := develop(b, manyFaces)
		fold.NewTree(blank, 0).Solids(fold.All(len(blank.Joints)))
	}
}
