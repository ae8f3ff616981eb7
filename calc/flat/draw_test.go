package flat_test

import (
	"errors"
	"fmt"
	"math"

	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// failer is the part of a test that rapid's tests have too.
type failer interface {
	Helper()
	Errorf(format string, values ...any)
	Fatalf(format string, values ...any)
}

func near(t failer, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s = %.6f, want %.6f", what, got, want)
	}
}

// sheet is mild steel of a thickness.
func sheet(t failer, thickness unit.MM) stock.Sheet {
	t.Helper()
	m, err := stock.Find("mild-steel")
	if err != nil {
		t.Fatalf("%v", err)
	}
	return stock.Sheet{Material: m, Thickness: thickness}
}

// header begins a part of 1 mm sheet with inside radius 1.
const header = `{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,`

func readPart(t failer, text string) part.Part {
	t.Helper()
	p, err := part.Read([]byte(text))
	if err != nil {
		t.Fatalf("part.Read(%s) = %v", text, err)
	}
	return p
}

// develop works a part out, with the thickness that its own file gives.
func develop(t failer, text string) *flat.Blank {
	t.Helper()
	p := readPart(t, text)
	b, err := flat.Develop(p, sheet(t, p.Thickness))
	if err != nil {
		t.Fatalf("Develop(%s) = %v", text, err)
	}
	return b
}

func refusal(t failer, text string) *fault.Refusal {
	t.Helper()
	p := readPart(t, text)
	_, err := flat.Develop(p, sheet(t, p.Thickness))
	var r *fault.Refusal
	if !errors.As(err, &r) {
		t.Fatalf("Develop(%s) = %v, want a refusal", text, err)
	}
	return r
}

// folded is every face as it lies in the finished part: its solid in its own
// blank coordinates and the placement of it.
type folded struct {
	blank  *flat.Blank
	frames []geom.Frame
	bodies [][][]geom.Point3
}

func foldAll(b *flat.Blank) folded {
	tree := fold.NewTree(b, 0)
	all := fold.All(len(b.Joints))
	return folded{b, tree.Place(all), tree.Solids(all)}
}

// gap is the least distance between two folded faces.
func (f folded) gap(a, c string) float64 {
	least := math.Inf(1)
	for _, p := range f.bodies[f.blank.FaceIndex(a)] {
		for _, q := range f.bodies[f.blank.FaceIndex(c)] {
			least = math.Min(least, geom.Separation(p, q))
		}
	}
	return least
}

// line is an endless line in the end view of a profile.
type line struct{ through, along geom.Point2 }

func (l line) meets(m line) geom.Point2 {
	d := m.through.Sub(l.through)
	return l.through.Add(l.along.Times(d.Cross(m.along) / l.along.Cross(m.along)))
}

// skin is the line of one face of a leg in the end view of the folded profile:
// y and z of the brake's cross-section, run through in the direction from the
// first leg to the last.
func (f folded) skin(leg int, faceA bool) line {
	z := 0.0
	if faceA {
		z = float64(f.blank.Sheet.Thickness)
	}
	y := f.blank.Faces[leg].Solid[0][0].Y
	at := f.frames[leg].Place(geom.Point3{Y: y, Z: z})
	on := f.frames[leg].Turn(geom.Point3{Y: 1})
	return line{geom.Point2{X: at.Y, Y: at.Z}, geom.Point2{X: on.Y, Y: on.Z}}
}

// end is the free end of a leg in the end view.
func (f folded) end(leg int, last bool) geom.Point2 {
	low, high := geom.Bounds(f.blank.Faces[leg].Solid[0]...)
	y := low.Y
	if last {
		y = high.Y
	}
	at := f.frames[leg].Place(geom.Point3{Y: y})
	return geom.Point2{X: at.Y, Y: at.Z}
}

// apex is where the faces of two neighbouring legs cross, on the outside of the
// bend between them or on its inside.
func (f folded) apex(joint int, inside bool) geom.Point2 {
	faceA := f.blank.Joints[joint].Up() == inside
	return f.skin(joint, faceA).meets(f.skin(joint+1, faceA))
}

// measured is a leg of a folded profile as a rule would measure it, from apex
// to apex along the leg.
func (f folded) measured(leg int, inside bool) float64 {
	from, to := f.end(leg, false), f.end(leg, true)
	if leg > 0 {
		from = f.apex(leg-1, inside)
	}
	if leg < len(f.blank.Joints) {
		to = f.apex(leg, inside)
	}
	return to.Sub(from).Dot(f.skin(leg, true).along)
}

// areas adds up the drawn faces.
func areas(b *flat.Blank) float64 {
	sum := 0.0
	for _, f := range b.Faces {
		for _, g := range f.Pieces {
			sum += g.Area()
		}
	}
	return sum
}

// solidAreas adds up what is really flat and the bend zones.
func solidAreas(b *flat.Blank) float64 {
	sum := 0.0
	for _, f := range b.Faces {
		for _, g := range f.Solid {
			sum += g.Area()
		}
	}
	for _, j := range b.Joints {
		sum += j.Zone.Area()
	}
	return sum
}

func quoted(values []float64) string {
	out := ""
	for i, v := range values {
		if i > 0 {
			out += ","
		}
		out += fmt.Sprint(v)
	}
	return out
}
