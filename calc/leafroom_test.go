package calc_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// Here the brake is set up anew from nothing but what a step prints and what the
// brake's file says, and the leaf is raised degree by degree with the sheet on it.
// Nothing that plans is used: the leaf and the metal are rows of points, a bar is what
// its file draws, a tube is a circle.

// machine is what is read of a brake's file.
type machine struct {
	Leaf struct {
		Full  float64 `json:"full_face"`
		Slim  float64 `json:"slim_face"`
		Thick float64 `json:"thickness"`
	} `json:"leaf"`
	Bars []jaw `json:"bars"`
}

type jaw struct {
	Name    string       `json:"name"`
	Kind    string       `json:"kind"`
	Section [][2]float64 `json:"section"`
	Radius  float64      `json:"outside_radius"`
	Nose    float64      `json:"nose_radius"`
}

// rise is a leaf on its way up past a bar.
type rise struct {
	sheet, face, thick, metal float64 // of the sheet, the leaf's face, the leaf, and how far the metal reaches on it
	nose                      float64 // how far behind the hinge
	bar                       jaw
	stop                      float64
}

// fine is how far apart points of the leaf and the metal lie, and hair how much
// deeper than that they may be in a bar: rounding.
const (
	fine = 1.0
	hair = 1e-4
)

// depth is how far a point is inside the bar, below zero outside.
func (r rise) depth(y, z float64) float64 {
	y, z = y-r.nose, z-r.sheet
	if r.bar.Kind == "round" {
		return r.bar.Radius - math.Hypot(y-r.bar.Radius, z-r.bar.Radius)
	}
	least, turn := math.Inf(1), math.Inf(1)
	for i, a := range r.bar.Section {
		b := r.bar.Section[(i+1)%len(r.bar.Section)]
		dy, dz := b[0]-a[0], b[1]-a[1]
		left := (dy*(z-a[1]) - dz*(y-a[0])) / math.Hypot(dy, dz)
		least, turn = math.Min(least, left), math.Min(turn, -left)
	}
	return math.Max(least, turn) // whichever way round it is drawn
}

// at is a point so far out on the leaf and so far off its face, with the leaf raised.
func at(out, off, degrees float64) (y, z float64) {
	a := degrees / 180 * math.Pi
	return off*math.Sin(a) - out*math.Cos(a), off*math.Cos(a) + out*math.Sin(a)
}

// row lists numbers from 0 to a last one, no farther apart than fine.
func row(last float64) []float64 {
	n := int(math.Ceil(last/fine)) + 1
	out := make([]float64, n)
	for i := range out {
		out[i] = last * float64(i) / float64(n-1)
	}
	return out
}

// meets tells what goes wrong on the way to the stop, or nothing.
func (r rise) meets() string {
	angles := []float64{r.stop}
	for a := 0.0; a < r.stop; a++ {
		angles = append(angles, a)
	}
	for _, a := range angles {
		for _, out := range row(r.metal) {
			for _, off := range []float64{0, r.sheet / 2, r.sheet} {
				if y, z := at(out, off, a); r.depth(y, z) > hair {
					return fmt.Sprintf("at %.1f degrees the sheet, %.1f out on the leaf and %.2f off it, is %.3f in the %s", a, out, off, r.depth(y, z), r.bar.Name)
				}
			}
		}
		for _, out := range row(r.face) {
			y, z := at(out, 0, a)
			if r.depth(y, z) > hair {
				return fmt.Sprintf("at %.1f degrees the leaf, %.1f out, is %.3f in the %s", a, out, r.depth(y, z), r.bar.Name)
			}
			if y > r.held()+hair && z > hair && z < r.sheet-hair {
				return fmt.Sprintf("at %.1f degrees the leaf, %.1f out, is in the sheet under the bar", a, out)
			}
		}
		for _, down := range row(r.thick) {
			for _, out := range []float64{r.face, r.face / 2} {
				if y, z := at(out, -down, a); r.depth(y, z) > hair {
					return fmt.Sprintf("at %.1f degrees the leaf, %.1f out and %.1f below its face, is in the %s", a, out, down, r.bar.Name)
				}
			}
		}
	}
	return r.pokes()
}

// held is how far behind the hinge the sheet is held down: from the nose on, or from
// the line under a tube's axis.
func (r rise) held() float64 {
	if r.bar.Kind == "round" {
		return r.nose + r.bar.Radius
	}
	return r.nose
}

// pokes looks the other way: corners of the bar between the points of the metal.
func (r rise) pokes() string {
	if r.bar.Kind == "round" {
		return ""
	}
	a := r.stop / 180 * math.Pi
	for _, p := range r.bar.Section {
		y, z := p[0]+r.nose, p[1]+r.sheet
		out, off := z*math.Sin(a)-y*math.Cos(a), y*math.Sin(a)+z*math.Cos(a)
		if out < r.metal && off > 0 && off < r.sheet-hair {
			return fmt.Sprintf("at the stop a corner of the %s leaves %.3f for a sheet of %.2f", r.bar.Name, off, r.sheet)
		}
	}
	return ""
}

// stepUp sets a step up from what it prints. How far the metal reaches on the leaf is
// measured on the blank: from the middle of the bend zone to the farthest corner of the
// side that swings, less half of the zone, and the outside setback to the hinge.
func stepUp(m machine, p *process.Plan, s process.Step) rise {
	i := slices.IndexFunc(m.Bars, func(b jaw) bool { return b.Name == s.Bar.Name })
	r := rise{
		sheet: float64(p.Blank.Sheet.Thickness), face: m.Leaf.Full, thick: m.Leaf.Thick,
		nose: float64(s.NoseSetback), bar: m.Bars[i], stop: float64(s.StopBend),
	}
	if s.Leaf == brake.Slim {
		r.face = m.Leaf.Slim
	}
	for _, joint := range s.Joints {
		b, line := p.Bends[joint].Bend, p.Blank.Joints[joint].Line
		turned := float64(b.Angle) / 180 * math.Pi
		half := turned * (float64(b.Radius) + b.K*r.sheet) / 2
		long := math.Hypot(line[1].X-line[0].X, line[1].Y-line[0].Y)
		for _, face := range p.Blank.Joints[joint].Faces {
			if p.Blank.Faces[face].ID != s.Swinging {
				continue
			}
			for _, q := range slices.Concat(p.Blank.Faces[face].Solid...) {
				away := math.Abs((line[1].X-line[0].X)*(q.Y-line[0].Y)-(line[1].Y-line[0].Y)*(q.X-line[0].X)) / long
				r.metal = math.Max(r.metal, away-half+(float64(b.Radius)+r.sheet)*math.Tan(turned/2))
			}
		}
	}
	return r
}

// worked plans a part on the brake of a file; nil where it is no part, or one that no
// brake could make.
func worked(t *testing.T, text []byte, file string) (*process.Plan, machine) {
	t.Helper()
	k, m := bench(t, file)
	p, err := part.Read(text)
	if err != nil {
		return nil, m
	}
	plan, err := calc.Work(p, k, calc.Options{})
	if err != nil {
		return nil, m
	}
	return plan, m
}

// bench reads a brake, as the planner does and as it is read here.
func bench(t *testing.T, file string) (*brake.Brake, machine) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var m machine
	if err := json.Unmarshal(data, &m); err != nil {
		t.Fatal(err)
	}
	k, err := brake.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return k, m
}

// raised raises the leaf for every step of a part, and gives their stops. A part
// without an order has none, and what would help it is not looked for.
func raised(t *testing.T, name string, text []byte, file string) (stops []float64) {
	t.Helper()
	k, m := bench(t, file)
	p, err := part.Read(text)
	if err != nil || !suite.Possible(t, p, k) {
		return nil
	}
	plan, err := calc.Work(p, k, calc.Options{})
	if err != nil {
		return nil
	}
	for _, s := range plan.Steps {
		stops = append(stops, float64(s.StopBend))
		if words := stepUp(m, plan, s).meets(); words != "" {
			t.Errorf("%s step %d, %s bar, nose %.3f back, to %.1f: %s", name, s.Number, s.Bar.Name, float64(s.NoseSetback), float64(s.StopBend), words)
		}
	}
	return stops
}

const (
	demoBrake  = "../cmd/brakeside/shop/brake.json"
	suiteBrake = "../testdata/suite/brake.json"
	tubeBrake  = "../testdata/brakes/round.json"
)

// Every part that lies in the project, on the brakes it could be for; but for two
// strips of sixteen and twenty bends, which take long and turn none beyond 60 degrees.
func TestTheLeafHasRoomForEveryExample(t *testing.T) {
	suite.Unraced(t)
	steps := 0
	for _, group := range []struct {
		parts  string
		brakes []string
	}{
		{"../cmd/brakeside/shop/*-*.json", []string{demoBrake}},
		{"../testdata/parts/*.json", []string{demoBrake, tubeBrake}},
		{"../testdata/suite/parts/*.json", []string{suiteBrake}},
		{"../testdata/cases/[0-9]*.json", []string{demoBrake}},
		{"../testdata/cases/[f-z]*[0-9n].json", []string{suiteBrake}},
		{"../testdata/cases/recess-tray.json", []string{"../testdata/cases/recess-tray-brake.json"}},
	} {
		files, err := filepath.Glob(group.parts)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %v", group.parts, files, err)
		}
		for _, file := range files {
			if strings.Contains(file, "long-1") || strings.Contains(file, "long-2") {
				continue
			}
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			for _, k := range group.brakes {
				steps += len(raised(t, filepath.Base(file), text, k))
			}
		}
	}
	if steps < 150 {
		t.Errorf("only %d steps were looked at", steps)
	}
	t.Logf("%d steps", steps)
}

// Hems, whose start takes the leaf as far as it goes: 33 parts.
func TestTheLeafHasRoomForHems(t *testing.T) {
	suite.Unraced(t)
	steps, far := 0, 0
	for i := range 33 {
		material := []string{"mild-steel", "galvanised", "304", "3003-H14", "copper"}[i%5]
		thick := []float64{0.5, 0.6, 0.8, 1, 1.2}[i/5%5]
		kind := []string{"open", "closed"}[i%2]
		walls := []string{
			`"front":[{"leg":40},{"leg":12,"hem":"KIND"}]`,
			`"front":[{"leg":12,"hem":"KIND"}],"back":[{"leg":12,"hem":"KIND"}]`,
			`"front":[{"leg":35},{"leg":12,"hem":"KIND"}],"left":[{"leg":35},{"leg":11,"hem":"KIND"}]`,
		}[i%3]
		walls = strings.ReplaceAll(walls, "KIND", kind)
		text := fmt.Sprintf(`{"number":"H%d","material":%q,"thickness":%v,"inside_radius":%v,"tray":{"base":[220,160],"walls":{%s}}}`,
			i, material, thick, 1.5*thick, walls)
		for _, stop := range raised(t, text, []byte(text), demoBrake) {
			if steps++; stop > 120 {
				far++
			}
		}
	}
	if steps < 66 || far < 33 {
		t.Errorf("only %d steps, %d of them far, were looked at", steps, far)
	}
	t.Logf("%d steps, %d of them to more than 120 degrees", steps, far)
}

// Two hundred parts drawn at random, with angles of 15 to 150 degrees, on a brake
// whose leaf reaches 165, so that it is the bars that end it.
func TestTheLeafHasRoomForRandomParts(t *testing.T) {
	suite.Unraced(t)
	file := filepath.Join(t.TempDir(), "brake.json")
	data, err := os.ReadFile(tubeBrake)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(data), `"max_angle": 130`, `"max_angle": 165`, 1)
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	draw := rand.New(rand.NewPCG(20261130, 15))
	steps, parts := 0, 0
	for i := range 200 {
		thick := []float64{0.5, 0.8, 0.9, 1, 1.2}[draw.IntN(5)]
		radius := []float64{thick, 1.5 * thick, 6, 15, 16}[draw.IntN(5)]
		legs, bends := []string{leg(draw, radius)}, []string{}
		for range 1 + draw.IntN(3) {
			legs = append(legs, leg(draw, radius))
			bends = append(bends, fmt.Sprint((15+draw.IntN(136))*(1-2*draw.IntN(2))))
		}
		text := fmt.Sprintf(`{"number":"R%d","material":%q,"thickness":%v,"inside_radius":%v,"over_90":"tangent","profile":{"length":%d,"legs":[%s],"bends":[%s]}}`,
			i, []string{"mild-steel", "304", "copper"}[draw.IntN(3)], thick, radius, 50+draw.IntN(500), strings.Join(legs, ","), strings.Join(bends, ","))
		n := len(raised(t, text, []byte(text), file))
		if steps += n; n > 0 {
			parts++
		}
	}
	if parts < 80 {
		t.Errorf("only %d of 200 parts can be made", parts)
	}
	t.Logf("%d steps of %d parts", steps, parts)
}

func leg(draw *rand.Rand, radius float64) string {
	return fmt.Sprint(12 + int(2.5*radius) + draw.IntN(60))
}

// What is known to be wrong is found: the nose where the shop's rule alone would have
// it, a tube at the thickness of the sheet, a bar that leans too far forward.
func TestTheLeafsRoomIsJudged(t *testing.T) {
	wide := jaw{Name: "wide", Kind: "full", Section: [][2]float64{{0, 0}, {0, 0.6}, {26.4, 27}, {74, 27}, {74, 0}}}
	narrow := jaw{Name: "narrow", Kind: "full", Section: [][2]float64{{0, 0}, {0, 0.6}, {9, 21}, {23, 21}, {23, 0}}}
	tube := jaw{Name: "tube 30", Kind: "round", Radius: 15}
	for _, test := range []struct {
		name string
		rise rise
		says string // empty: nothing meets
	}{
		{"a square bend by the rule", rise{1, 62, 40, 40, 1.3, wide, 91.5}, ""},
		{"a hem by the rule", rise{1, 62, 40, 12, 1.4, wide, 129}, "the sheet"},
		{"a hem with the room it needs", rise{1, 62, 40, 12, 2.583, wide, 129}, ""},
		{"a hem with a tenth less", rise{1, 62, 40, 12, 2.48, wide, 129}, "wide"},
		{"the tube at 120 degrees and 0.9 + 0.4", rise{0.9, 62, 40, 70, 1.3, tube, 128.6}, "tube"},
		{"the tube where it needs to be", rise{0.9, 62, 40, 70, 18.0378, tube, 128.6}, ""},
		{"the tube at 45 degrees, in front of the hinge", rise{0.9, 62, 40, 70, -7.8542, tube, 48.4}, ""},
		{"and a tenth farther in front", rise{0.9, 62, 40, 70, -7.96, tube, 48.4}, "tube"},
		{"a long leg under the narrow bar's crest", rise{1, 62, 40, 60, 1.94, narrow, 118}, "narrow"},
		{"the bare leaf against the crest", rise{1, 62, 40, 2, 6, wide, 141}, "the leaf"},
		{"and slimmed", rise{1, 18, 40, 2, 6, wide, 141}, ""},
	} {
		got := test.rise.meets()
		if test.says == "" && got != "" || !strings.Contains(got, test.says) {
			t.Errorf("%s: %q, want %q", test.name, got, test.says)
		}
	}
}
