package process_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc"
	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

func draft(t suite.Failer, text string) *process.Plan {
	t.Helper()
	plan, err := figures.Shop{}.Draft(suite.Read(t, []byte(text)))
	if err != nil {
		t.Fatalf("%v", err)
	}
	return plan
}

// By hand for an L of 1 mm mild steel, r = 1, K 0.33, legs 52 and 32 outside, 100
// long: flats 50 and 30, zone 1.33 pi/2 = 2.0892 long. From the start of the long
// leg and from its face B the centres are (25, 0.5), the ring's (50 + c, 2 - c)
// with c = 14/9 x 2/pi = 0.99030, and (51.5, 2 + 15). Mass 7.85e-6 x 100 x 82.0892.
func TestWeightByHand(t *testing.T) {
	plan := draft(t, `{"number":"L","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":100,"legs":[52,32],"bends":[90]}}`)
	zone := 1.33 * math.Pi / 2
	c := 14.0 / 9 * 2 / math.Pi
	long := 80 + zone
	w := plan.Weight
	suite.Near(t, "mass", float64(w.Mass), 7.85e-6*100*long, 1e-12)
	suite.Near(t, "blank x", w.Blank.X, 50, 1e-9)
	suite.Near(t, "blank y", w.Blank.Y, long/2, 1e-9)
	suite.Near(t, "part x", w.Part.X, 50, 1e-9)
	suite.Near(t, "part y", w.Part.Y, (50*25+zone*(50+c)+30*51.5)/long, 1e-9)
	suite.Near(t, "part z", w.Part.Z, (50*0.5+zone*(2-c)+30*17)/long, 1e-9)
	if w.Lying != "p0" || w.Lift.TwoPeople {
		t.Errorf("lying on %s, two people %v", w.Lying, w.Lift.TwoPeople)
	}
	down := draft(t, `{"number":"L","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":100,"legs":[52,32],"bends":[-90]}}`)
	suite.Near(t, "folded down: z", down.Weight.Part.Z, 1-w.Part.Z, 1e-9)
	suite.Near(t, "folded down: y", down.Weight.Part.Y, w.Part.Y, 1e-9)
}

// By hand: a hole of 20 mm in the middle of the web moves nothing, one in a leg
// pulls the centre from (y, z) of the whole to (A c - a h) / (A - a).
func TestWeightWithHoles(t *testing.T) {
	text := `{"number":"L","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":100,"legs":[52,32],"bends":[90]}%s}`
	whole := draft(t, fmt.Sprintf(text, ""))
	holed := draft(t, fmt.Sprintf(text, `,"holes":[{"face":"p0","at":[40,25],"diameter":20}]`))
	opening := holed.Blank.Faces[0].Openings[0]
	area := math.Abs(opening.Outline.Area())
	suite.Near(t, "hole", area, math.Pi*100, 3)
	all := whole.Blank.Area()
	pulled := func(c, h float64) float64 { return (all*c - area*h) / (all - area) }
	suite.Near(t, "blank x", holed.Weight.Blank.X, pulled(50, 40), 1e-6)
	suite.Near(t, "part x", holed.Weight.Part.X, pulled(50, 40), 1e-6)
	suite.Near(t, "part y", holed.Weight.Part.Y, pulled(whole.Weight.Part.Y, 25), 1e-6)
	suite.Near(t, "part z", holed.Weight.Part.Z, pulled(whole.Weight.Part.Z, 0.5), 1e-6)
	suite.Near(t, "mass", float64(holed.Weight.Mass), 7.85e-6*(all-math.Pi*100), 1e-9)
}

// A tray with four equal walls balances over the middle of its base.
func TestWeightOfATray(t *testing.T) {
	plan := draft(t, `{"number":"T","material":"304","thickness":1,"tray":{"base":[200,200],"walls":{"left":[{"leg":40}],"right":[{"leg":40}],"front":[{"leg":40}],"back":[{"leg":40}]}}}`)
	w := plan.Weight
	suite.Near(t, "blank x", w.Blank.X, float64(plan.Blank.Width)/2, 1e-9)
	suite.Near(t, "part x", w.Part.X, float64(plan.Blank.Width)/2, 1e-6)
	suite.Near(t, "part y", w.Part.Y, float64(plan.Blank.Height)/2, 1e-6)
	if !(w.Part.Z > 0.5 && w.Part.Z < 20) || w.Lying != "base" {
		t.Errorf("centre %v above %s", w.Part.Z, w.Lying)
	}
}

// sliced is the centre of a folded strip by adding up thin slices: the plain
// slow way. It walks the section from the first leg, y along it and z up.
func sliced(b *flat.Blank, legs []float64) (y, z float64) {
	const slices = 4000
	thick := float64(b.Sheet.Thickness)
	at, heading := geom.Point2{}, 0.0 // on face B, along the metal
	sum, mass := geom.Point2{}, 0.0
	add := func(p geom.Point2, by float64) { sum, mass = sum.Add(p.Times(by)), mass+by }
	along := func() geom.Point2 { sin, cos := math.Sincos(heading); return geom.Point2{X: cos, Y: sin} }
	for i, leg := range legs {
		middle := at.Add(along().Times(leg / 2)).Add(along().Left().Times(thick / 2))
		add(middle, leg)
		at = at.Add(along().Times(leg))
		if i == len(b.Joints) {
			break
		}
		j := b.Joints[i]
		side, inner := 1.0, thick
		if !j.Up() {
			side, inner = -1, 0
		}
		radius := float64(j.Bend.Radius)
		axis := at.Add(along().Left().Times(inner + side*radius))
		for k := range slices {
			part := j.Bend.Angle.Rad() * (float64(k) + 0.5) / slices
			sin, cos := math.Sincos(heading + side*part)
			out := geom.Point2{X: sin, Y: -cos}.Times(side) // from the axis to the metal
			for ring := range 20 {
				r := radius + thick*(float64(ring)+0.5)/20
				add(axis.Add(out.Times(r)), 2*j.Half()/slices*r/(20*(radius+thick/2)))
			}
		}
		face := axis.Sub(at) // turned about the axis
		heading += side * j.Bend.Angle.Rad()
		at = axis.Sub(face.Turned(side * j.Bend.Angle.Rad()))
	}
	centre := sum.Times(1 / mass)
	return centre.X, centre.Y
}

func TestWeightAgainstSlices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		legs, angles := []string{"150"}, []string{}
		for range rapid.IntRange(1, 4).Draw(t, "bends") {
			angle := rapid.IntRange(5, 150).Draw(t, "angle")
			if rapid.Bool().Draw(t, "down") {
				angle = -angle
			}
			angles = append(angles, fmt.Sprint(angle))
			legs = append(legs, fmt.Sprint(rapid.IntRange(60, 140).Draw(t, "leg")))
		}
		text := fmt.Sprintf(`{"number":"W","material":"mild-steel","thickness":%v,"inside_radius":%v,"profile":{"length":30,"legs":[%s],"bends":[%s]}}`,
			rapid.SampledFrom([]float64{0.5, 1, 2}).Draw(t, "t"), rapid.SampledFrom([]float64{0.5, 2, 5}).Draw(t, "r"), strings.Join(legs, ","), strings.Join(angles, ","))
		plan, err := figures.Shop{}.Draft(suite.Read(t, []byte(text)))
		if fault.KindOf(err) == fault.Invalid {
			return // it would run through itself
		}
		if err != nil {
			t.Fatalf("%v", err)
		}
		if plan.Weight.Lying != "p0" {
			return
		}
		var flats []float64
		for _, f := range plan.Blank.Faces {
			low, high := geom.Bounds(f.Solid[0]...)
			flats = append(flats, high.Y-low.Y)
		}
		y, z := sliced(plan.Blank, flats)
		suite.Near(t, text+" y", plan.Weight.Part.Y, y, 0.002)
		suite.Near(t, text+" z", plan.Weight.Part.Z, z, 0.002)
	})
}

// The parts of the suite: the folded metal is all the blank, so bends of almost
// nothing leave the centre where the blank has it.
func TestWeightOfAlmostFlatParts(t *testing.T) {
	files, err := filepath.Glob("../../testdata/suite/parts/*.json")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d parts, %v", len(files), err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		p := suite.Read(t, text)
		if p.Profile != nil {
			for i := range p.Profile.Bends {
				p.Profile.Bends[i] = 1e-6
			}
		}
		if p.Flat != nil {
			p.Flat.Bends = append([]part.FlatBend(nil), p.Flat.Bends...)
			for i := range p.Flat.Bends {
				p.Flat.Bends[i].Angle = 1e-6
			}
		}
		if p.Tray != nil {
			continue
		}
		plan, err := figures.Shop{}.Draft(p)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		w := plan.Weight
		suite.Near(t, name+" x", w.Part.X, w.Blank.X, 1e-3)
		suite.Near(t, name+" y", w.Part.Y, w.Blank.Y, 1e-3)
		suite.Near(t, name+" z", w.Part.Z, float64(plan.Blank.Sheet.Thickness)/2, 1e-3)
	}
}

// A sheet of 1180 x 700 mm, 1.5 mm, weighs 9.7 kg; one person lifts less that
// wide (calc/lift). The plan says so once for the whole part.
func TestHeavyBlankIsForTwo(t *testing.T) {
	plan := suite.Work(t, suite.Read(t, []byte(`{"number":"H","material":"mild-steel","thickness":1.5,"profile":{"length":1180,"legs":[350,350],"bends":[90]}}`)), suite.Brake(t), calc.Options{})
	if !plan.Weight.Lift.TwoPeople {
		t.Fatalf("%+v", plan.Weight)
	}
	first := plan.Cautions[0]
	if first.Level != process.Care || !strings.HasPrefix(first.Text(), "The blank weighs 9.7 kg: two people (NIOSH equation: ") {
		t.Errorf("first caution %+v", first)
	}
	light := suite.Work(t, suite.Read(t, []byte(`{"number":"H","material":"mild-steel","thickness":1.5,"profile":{"length":300,"legs":[100,100],"bends":[90]}}`)), suite.Brake(t), calc.Options{})
	if light.Weight.Lift.TwoPeople || suite.Cautions(light) != "" {
		t.Errorf("a light part: %q", suite.Cautions(light))
	}
}
