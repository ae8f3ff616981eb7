package sheet

import (
	"fmt"
	"math"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// The fixtures are travelers of an invented shop, made by a small folding of
// their own, so that the sheet can be tested without the planner.

const host = "http://192.168.100.200:8080"

// profile is a part bent along parallel lines: outside sizes and signed bend
// angles, + towards face A.
type profile struct {
	length, thickness, radius float64
	legs, bends               []float64
	order                     []turn
}

// turn is one step of a profile: which bend, and whether the faces before it
// (rather than those after it) are clamped.
type turn struct {
	bend       int
	clampFirst bool
	bar        string
	leaf       string
}

func mm(v float64) unit.Micron    { return unit.MM(v).Micron() }
func deg(v float64) unit.CentiDeg { return unit.Deg(v).CentiDeg() }
func at(x, y float64) traveler.Point {
	return traveler.Point{X: mm(x), Y: mm(y)}
}

func letters(number string) string {
	const alphabet = "ABCDEFGHJKMNPQRSTVWXYZ23456789"
	var code strings.Builder
	for i := range 16 {
		code.WriteByte(alphabet[(len(number)*7+int(number[i%len(number)])*(i+3))%len(alphabet)])
	}
	return code.String()
}

// head is what all fixtures share.
func head(number, title, revision string) *traveler.Traveler {
	code := letters(number)
	return &traveler.Traveler{
		Form: traveler.Form, Code: code, Address: host + "/t/" + code,
		Shop: "Drip & Rail Metalwork", Job: "J-1042", Quantity: 24, Run: traveler.ByStep,
		IssuedAt: "2026-05-04T09:30:00Z", IssuedBy: "Robin Demo", Paper: "a4",
		Minutes: 415, Proven: true,
		Part: traveler.Part{
			Number: number, Title: title, Revision: revision,
			MaterialID: "mild-steel", Material: "Mild steel", Family: "mild-steel", Magnetic: true,
			Thickness: mm(1), InsideRadius: mm(1), AngleTolerance: deg(1), SizeTolerance: mm(0.5),
			Sizes: "outside", MarkedFace: "A", Grain: "x",
		},
		Brake: traveler.Brake{
			Name: "Leaf brake 2", Reads: "bend", MaxAngle: deg(130), Magnet: true,
			FullFace: mm(62), SlimFace: mm(18), LeafDepth: mm(40),
		},
	}
}

// flats gives the flat lengths between tangents and the bend allowances
// (K 0.42) of a profile.
func (p profile) flats() (flats, allowances []float64) {
	outside := func(i int) float64 {
		return (p.radius + p.thickness) * math.Tan(math.Abs(p.bends[i])*math.Pi/360)
	}
	for i, leg := range p.legs {
		if i > 0 {
			leg -= outside(i - 1)
		}
		if i < len(p.bends) {
			leg -= outside(i)
		}
		flats = append(flats, leg)
	}
	for _, a := range p.bends {
		allowances = append(allowances, math.Abs(a)*math.Pi/180*(p.radius+0.42*p.thickness))
	}
	return flats, allowances
}

// traveler freezes a profile onto a head.
func (p profile) traveler(t *traveler.Traveler) *traveler.Traveler {
	t.Part.Thickness, t.Part.InsideRadius = mm(p.thickness), mm(p.radius)
	flats, allowances := p.flats()
	y, sum := 0.0, 0.0
	starts := make([]float64, len(p.bends))
	for i := range p.bends {
		y += flats[i]
		starts[i] = y
		y += allowances[i]
	}
	y += flats[len(flats)-1]
	for _, leg := range p.legs {
		sum += leg
	}
	t.Blank = traveler.Blank{
		Width: mm(p.length), Height: mm(y), Diagonal: mm(math.Hypot(p.length, y)),
		Area: int64(p.length * y), Grams: int64(p.length * y * p.thickness * 7.85 / 1000),
		SumSizes: mm(sum),
		Outline:  []traveler.Point{at(0, 0), at(p.length, 0), at(p.length, y), at(0, y)},
		RunningX: []unit.Micron{0, mm(p.length)},
		RunningY: []unit.Micron{0, mm(y)},
	}
	p.steps(t, starts, allowances)
	return t
}

func (p profile) steps(t *traveler.Traveler, starts, allowances []float64) {
	made := map[int]bool{}
	lines := make([]traveler.BendLine, len(p.bends))
	faceUp, first := "A", false
	for n, turn := range p.order {
		i := turn.bend
		up := p.bends[i] > 0
		setback := p.thickness + 0.3
		nose := starts[i] - setback + p.radius
		if !turn.clampFirst {
			nose = starts[i] + allowances[i] + setback - p.radius
		}
		across := func(y float64) [2]traveler.Point { return [2]traveler.Point{at(0, y), at(p.length, y)} }
		lines[i] = traveler.BendLine{
			Bend: fmt.Sprintf("b%d", i+1), Step: n + 1, Up: up, Angle: deg(math.Abs(p.bends[i])), Radius: mm(p.radius),
			Allowance: mm(allowances[i]), KFactor: 420, KRule: "table",
			Line:     across(starts[i] + allowances[i]/2),
			Tangents: [2][2]traveler.Point{across(starts[i]), across(starts[i] + allowances[i])},
			Nose:     across(nose),
		}
		t.Blank.RunningY = append(t.Blank.RunningY, mm(starts[i]), mm(starts[i]+allowances[i]), mm(nose))
		face := "A"
		if !up {
			face = "B"
		}
		gauge, edge := nose, "the lower edge"
		if !turn.clampFirst {
			gauge, edge = float64(t.Blank.Height.MM())-nose, "the upper edge"
		}
		clamped, swinging := i+1, i
		if turn.clampFirst {
			clamped, swinging = i, i+1
		}
		rotate := 0
		if n > 0 && turn.clampFirst != first {
			rotate = 180
		}
		step := traveler.Step{
			Number: n + 1, Bend: lines[i].Bend, TurnOver: face != faceUp, Rotate: rotate, FaceUp: face,
			Clamped: fmt.Sprintf("p%d", clamped), Swinging: fmt.Sprintf("p%d", swinging),
			Bar: turn.bar, Leaf: turn.leaf, Place: traveler.Middle, Length: mm(p.length), NoseSetback: mm(setback),
			Stop: deg(math.Abs(p.bends[i]) + 2), StopBend: deg(math.Abs(p.bends[i]) + 2), Springback: deg(2),
			StopFrom: "table of materials, no readings yet", Target: deg(math.Abs(p.bends[i])), Tolerance: deg(1),
			GaugeEdge: edge, Gauge: mm(gauge),
			CheckSize: fmt.Sprintf("OUTSIDE of leg p%d", swinging), Check: mm(p.legs[swinging]),
			Clearance: mm(2.4), Between: [2]string{"p1", "bar " + turn.bar},
		}
		if turn.bar == "wide" {
			step.BarGrams = 16100
		}
		step.Before = p.section(made, turn, 0)
		made[i] = true
		step.After = p.section(made, turn, math.Abs(p.bends[i]))
		t.Steps = append(t.Steps, step)
		faceUp, first = face, turn.clampFirst
	}
	t.Blank.Lines = lines
}

// barSections are outlines of invented bars, from the nose backwards.
var barSections = map[string][][2]float64{
	"wide":    {{0, 0}, {0, 0.6}, {26.4, 27}, {74, 27}, {74, 0}},
	"narrow":  {{0, 0}, {0, 0.6}, {9, 21}, {23, 21}, {23, 0}},
	"fingers": {{0, 0}, {0, 0.6}, {26.4, 27}, {66, 27}, {66, 0}},
}

// section folds the profile about a turn's bend, which is bent by so many
// degrees, as sharp corners.
func (p profile) section(made map[int]bool, turn turn, bent float64) []traveler.Shape {
	flats, allowances := p.flats()
	shapes := tools(turn.bar, turn.leaf, p.thickness, bent)
	sign := math.Copysign(1, p.bends[turn.bend])
	walk := func(role string, heading float64, faces []int) {
		x, y, turned := 0.0, 0.0, 0.0
		for n, face := range faces {
			along := flats[face] + allowances[min(face, len(allowances)-1)]/2
			if n > 0 {
				bend := min(face, faces[n-1])
				if made[bend] {
					turned += sign * p.bends[bend]
				}
			}
			a := heading + turned
			if math.Abs(math.Abs(heading)-180) < 91 && role == traveler.RoleSwinging {
				a = heading - turned
			}
			dx, dy := math.Cos(a*math.Pi/180), math.Sin(a*math.Pi/180)
			nx, ny := -dy*p.thickness, dx*p.thickness
			if role == traveler.RoleSwinging {
				nx, ny = -nx, -ny
			}
			shapes = append(shapes, traveler.Shape{Role: role, Points: []traveler.Point{
				at(x, y), at(x+dx*along, y+dy*along), at(x+dx*along+nx, y+dy*along+ny), at(x+nx, y+ny),
			}})
			x, y = x+dx*along, y+dy*along
		}
	}
	var before, after []int
	for f := turn.bend; f >= 0; f-- {
		before = append(before, f)
	}
	for f := turn.bend + 1; f < len(p.legs); f++ {
		after = append(after, f)
	}
	if turn.clampFirst {
		before, after = after, before
	}
	walk(traveler.RoleSwinging, 180-bent, before)
	walk(traveler.RoleClamped, 0, after)
	return shapes
}

// tools gives the bed, the bar and the leaf swung by so many degrees.
func tools(bar, leaf string, thickness, bent float64) []traveler.Shape {
	face := 62.0
	if leaf == traveler.SlimLeaf {
		face = 18
	}
	a := (180 - bent) * math.Pi / 180
	dx, dy := math.Cos(a), math.Sin(a)
	nx, ny := 0.0, -40.0
	if bent != 0 {
		nx, ny = -math.Abs(dy)*40, -math.Abs(dx)*40
		if bent > 90 {
			ny = math.Abs(dx) * 40
		}
	}
	body := traveler.Shape{Role: traveler.RoleBar}
	for _, q := range barSections[bar] {
		body.Points = append(body.Points, at(q[0]+thickness+0.3, q[1]+thickness))
	}
	return []traveler.Shape{
		{Role: traveler.RoleBed, Points: []traveler.Point{at(0, 0), at(98, 0), at(98, -150), at(0, -150)}},
		{Role: traveler.RoleLeaf, Points: []traveler.Point{at(0, 0), at(dx*face, dy*face), at(dx*face+nx, dy*face+ny), at(nx, ny)}},
		body,
	}
}

// bracket is a Z with two bends.
func bracket() *traveler.Traveler {
	t := profile{
		length: 410, thickness: 1, radius: 1, legs: []float64{38, 25, 40}, bends: []float64{90, -90},
		order: []turn{{0, false, "wide", traveler.FullLeaf}, {1, false, "narrow", traveler.SlimLeaf}},
	}.traveler(head("RB-118", "Rail end stop, offset bracket", "C"))
	t.Steps[0].Cautions = []traveler.Caution{{Level: traveler.Warning, Text: "Bar wide weighs 16 kg: two people, or two hands and a clear bench."}}
	t.Steps[1].Tight, t.Steps[1].Clearance = true, mm(0.8)
	t.Steps[1].Cautions = []traveler.Caution{{Level: traveler.Notice, Text: "Leg p0 passes the slim leaf by only 0.8 mm: fit the slim face first, and swing slowly."}}
	t.Blank.Holes = [][]traveler.Point{ring(30, 18, 4), ring(380, 18, 4)}
	t.Blank.RunningX = append(t.Blank.RunningX, mm(30), mm(380))
	t.Blank.RunningY = append(t.Blank.RunningY, mm(18))
	return t
}

// ring is a round hole as a polygon of 24 corners.
func ring(x, y, radius float64) []traveler.Point {
	var points []traveler.Point
	for i := range 24 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 12)
		points = append(points, at(x+radius*cos, y+radius*sin))
	}
	return points
}

// cover is a profile with six bends.
func cover() *traveler.Traveler {
	t := profile{
		length: 620, thickness: 1.2, radius: 1.5,
		legs: []float64{14, 36, 28, 120, 28, 36, 14}, bends: []float64{90, 90, -45, -45, 90, 90},
		order: []turn{
			{0, false, "narrow", traveler.FullLeaf}, {5, true, "narrow", traveler.FullLeaf},
			{1, false, "wide", traveler.FullLeaf}, {4, true, "narrow", traveler.FullLeaf},
			{2, false, "narrow", traveler.SlimLeaf}, {3, true, "narrow", traveler.SlimLeaf},
		},
	}.traveler(head("LC-640", "Lamp rail cover with turned-in lips", "B2"))
	t.Part.Material, t.Part.MaterialID, t.Part.Family, t.Part.Magnetic = "Stainless steel 304, 2B", "304", "stainless", false
	t.Brake.Reads = "opening"
	for i := range t.Steps {
		t.Steps[i].Stop = 18000 - t.Steps[i].StopBend
	}
	t.Steps[2].Cautions = []traveler.Caution{{Level: traveler.Warning, Text: "The panel swings 148 mm towards you: stand clear of its edge."}}
	t.Steps[5].Cautions = []traveler.Caution{
		{Level: traveler.Notice, Text: "Slide the bar out endwise: it cannot be lifted out of the closed shape."},
		{Level: traveler.Warning, Text: "The closed shape traps fingers between wall and bar: slide the bar out with the hook."},
	}
	t.Cautions = []traveler.Caution{{Level: traveler.Care, Text: "Blank edges are sharp after shearing: gloves for carrying, none near the swinging leaf."}}
	return t
}

// tray is a box of four walls, the last two bent with fingers.
func tray() *traveler.Traveler {
	t := head("DT-300", "Instrument drip tray", "D")
	t.Part.Material, t.Part.MaterialID, t.Part.Family, t.Part.Magnetic = "Aluminium 5251-H22", "5251-H22", "aluminium", false
	t.Part.Thickness, t.Part.InsideRadius, t.Part.Grain = mm(1), mm(1), "y"
	const w, h, wall, cut, zone = 298.1, 208.1, 59.0, 1.6, 2.3
	x1, x2, y1, y2 := wall, wall+w, wall, wall+h
	t.Blank = traveler.Blank{
		Width: mm(w + 2*wall), Height: mm(h + 2*wall), Diagonal: mm(math.Hypot(w+2*wall, h+2*wall)),
		Area: 121766, Grams: 350, SumSizes: 0,
		Outline: []traveler.Point{
			at(x1+cut, 0), at(x2-cut, 0), at(x2-cut, y1), at(x2, y1), at(x2, y1+cut), at(w+2*wall, y1+cut), at(w+2*wall, y2-cut),
			at(x2, y2-cut), at(x2, y2), at(x2-cut, y2), at(x2-cut, h+2*wall), at(x1+cut, h+2*wall), at(x1+cut, y2), at(x1, y2),
			at(x1, y2-cut), at(0, y2-cut), at(0, y1+cut), at(x1, y1+cut), at(x1, y1), at(x1+cut, y1),
		},
		Holes:    [][]traveler.Point{ring(208, 30, 6), ring(140, 163, 10), ring(276, 163, 10)},
		RunningX: []unit.Micron{0, mm(w + 2*wall), mm(x1), mm(x1 + cut), mm(x2 - cut), mm(x2)},
		RunningY: []unit.Micron{0, mm(h + 2*wall), mm(y1), mm(y1 + cut), mm(y2 - cut), mm(y2)},
	}
	vertical := func(x float64) [2]traveler.Point {
		return [2]traveler.Point{at(x, y1+cut), at(x, y2-cut)}
	}
	level := func(y float64) [2]traveler.Point { return [2]traveler.Point{at(x1+cut, y), at(x2-cut, y)} }
	walls := []struct {
		name, gauge     string
		at, nose        float64
		upright         bool
		length, wallLen float64
	}{
		{"left", "the left edge", x1, x1 + zone/2 + 0.3, true, h - 2*cut, w},
		{"right", "the right edge", x2, x2 - zone/2 - 0.3, true, h - 2*cut, w},
		{"front", "the lower edge", y1, y1 + zone/2 + 0.3, false, w - 2*cut, h},
		{"back", "the upper edge", y2, y2 - zone/2 - 0.3, false, w - 2*cut, h},
	}
	outward := profile{length: 10, thickness: 1, radius: 1, legs: []float64{60, 300}, bends: []float64{90}}
	for n, wl := range walls {
		across := level
		if wl.upright {
			across = vertical
			t.Blank.RunningX = append(t.Blank.RunningX, mm(wl.nose))
		} else {
			t.Blank.RunningY = append(t.Blank.RunningY, mm(wl.nose))
		}
		t.Blank.Lines = append(t.Blank.Lines, traveler.BendLine{
			Bend: wl.name, Step: n + 1, Up: true, Angle: deg(90), Radius: mm(1), Allowance: mm(zone), KFactor: 420, KRule: "table",
			Line: across(wl.at), Tangents: [2][2]traveler.Point{across(wl.at - zone/2), across(wl.at + zone/2)}, Nose: across(wl.nose),
		})
		step := traveler.Step{
			Number: n + 1, Bend: wl.name, Rotate: []int{0, 180, 90, 180}[n], FaceUp: "A", Clamped: "base", Swinging: wl.name,
			Bar: "wide", BarGrams: 16100, Leaf: traveler.FullLeaf, Place: traveler.Middle, Length: mm(wl.length), NoseSetback: mm(1.3),
			Stop: deg(92.5), StopBend: deg(92.5), Springback: deg(2.5), StopFrom: "6 readings of this material",
			Target: deg(90), Tolerance: deg(1), GaugeEdge: wl.gauge, Gauge: mm(wall + zone/2 + 0.3),
			CheckSize: "OUTSIDE height of wall " + wl.name, Check: mm(60), Clearance: mm(3.1), Between: [2]string{wl.name, "bar"},
		}
		step.Before = outward.section(map[int]bool{}, turn{0, false, "wide", traveler.FullLeaf}, 0)
		step.After = outward.section(map[int]bool{0: true}, turn{0, false, "wide", traveler.FullLeaf}, 90)
		if n >= 2 {
			step.Bar, step.BarGrams = "fingers", 0
			step.Segments = []traveler.Segment{{Width: mm(68), At: mm(2.2)}, {Width: mm(124), At: mm(70.9)}, {Width: mm(91), At: mm(195.4)}}
		}
		t.Steps = append(t.Steps, step)
	}
	t.Steps[2].Cautions = []traveler.Caution{{Level: traveler.Care, Text: "Corner room for overbend is 1.1 mm: do not force the wall past the stop."}}
	return t
}

// eight is a profile with the most bends that three pages must hold.
func eight() *traveler.Traveler {
	p := profile{
		length: 500, thickness: 1, radius: 1,
		legs:  []float64{12, 30, 25, 40, 160, 40, 25, 30, 12},
		bends: []float64{90, 90, -90, 90, 90, -90, 90, 90},
	}
	for _, i := range []int{0, 7, 1, 6, 2, 5, 3, 4} {
		p.order = append(p.order, turn{i, i > 3, "narrow", traveler.FullLeaf})
	}
	t := p.traveler(head("CH-808", "Cable channel with stepped sides", "A"))
	for i := range t.Steps {
		t.Steps[i].Cautions = []traveler.Caution{{Level: traveler.Care, Text: fmt.Sprintf("The panel swings %d mm towards you.", 40+20*i)}}
	}
	return t
}

// four is a tray whose every step has its caution and whose turns all differ.
func four() *traveler.Traveler {
	t := tray()
	for i := range t.Steps {
		t.Steps[i].Cautions = []traveler.Caution{{Level: traveler.Warning, Text: "The wall swings 60 mm towards you."}}
		t.Steps[i].TurnOver = true
	}
	t.Cautions = []traveler.Caution{
		{Level: traveler.Notice, Text: "Order checked against this brake only."},
		{Level: traveler.Care, Text: "Film stays on the marked face."},
	}
	return t
}

// fixtures are the travelers with goldens.
var fixtures = []struct {
	name string
	made func() *traveler.Traveler
}{
	{"bracket", bracket},
	{"tray", tray},
	{"cover", cover},
}
