package traveler

import (
	"math"
	"sort"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/scene"
	"brakeside/calc/unit"
	"brakeside/calc/wording"
)

func frozenCurves(b *flat.Blank) []Curve {
	var out []Curve
	for _, c := range b.Curves {
		out = append(out, Curve{Ring: c.Loop, From: c.From, Chords: c.Chords, Centre: frozenPoint(c.Centre), Radius: unit.MM(c.Radius).Micron()})
	}
	return out
}

// Issue is what makes a plan a traveler: for whom, when, under which code.
type Issue struct {
	Code     string
	Base     string // address of the service, without a slash at the end
	Shop     string
	Job      string
	IssuedAt string // RFC 3339, UTC
	IssuedBy string
	Paper    string      // a4 or letter; empty is a4
	Units    unit.System // that lengths are printed in
	Pack     string      // the sheet it is cut from; empty: not said
	NewPack  bool        // nothing was bent from it yet
}

// Address is the whole address of the traveler.
func (i Issue) Address() string { return i.Base + "/t/" + i.Code }

// Freeze rounds a plan once and for ever. A plan that cannot be made on its
// brake is refused: no sheet goes to the brake for it.
func Freeze(p *process.Plan, i Issue) (*Traveler, error) {
	if !p.Feasible {
		return nil, fault.New(fault.Unbendable, "", "%s: %s, so no sheet can be issued", p.Blank.Part.Number, p.Not())
	}
	if i.Paper == "" {
		i.Paper = "a4"
	}
	t := &Traveler{
		Form: Form, Code: i.Code, Address: i.Address(), Shop: i.Shop, Job: i.Job,
		Quantity: p.Quantity, Run: string(p.Run), IssuedAt: i.IssuedAt, IssuedBy: i.IssuedBy, Paper: i.Paper, Pack: i.Pack, NewPack: i.NewPack,
		Part: FreezePart(p), Brake: FreezeBrake(p.Brake), Blank: FreezeBlank(p),
		Cautions: frozenCautions(append(wording.CutToFit(p.Blank), p.Cautions...)),
		Minutes:  int64(math.Round(p.Minutes * 100)), Proven: p.ProvenCheapest,
		MirrorCheck: wording.MirrorCheck(p), MirrorMark: mirrorMark(p),
	}
	t.Finished = frozenFinished(p, t.MirrorMark)
	for _, s := range p.Steps {
		t.Steps = append(t.Steps, frozenStep(p, s))
	}
	t.sayOffcut()
	t.sayIn(i.Units)
	return t, nil
}

// sayIn puts the lengths in the sentences of a traveler into the units of the shop.
func (t *Traveler) sayIn(units unit.System) {
	if units != unit.Inch {
		return
	}
	t.Units, t.MirrorCheck = units.String(), units.Said(t.MirrorCheck)
	lists := [][]Caution{t.Cautions}
	for i := range t.Steps {
		t.Steps[i].BarPlace = units.Said(t.Steps[i].BarPlace)
		lists = append(lists, t.Steps[i].Cautions)
	}
	for _, list := range lists {
		for i := range list {
			list[i].Text = units.Said(list[i].Text)
		}
	}
}

// FreezePart rounds what is made and from what.
func FreezePart(p *process.Plan) Part {
	part, sheet := p.Blank.Part, p.Blank.Sheet
	sizes := string(part.Sizes)
	if part.Flat != nil { // drawn as the blank is cut
		sizes = "blank"
	}
	radius := unit.MM(0)
	for _, b := range p.Bends {
		radius = max(radius, b.Bend.Radius)
	}
	return Part{
		Number: part.Number, Title: part.Title, Revision: part.Revision,
		MaterialID: sheet.Material.ID, Material: sheet.Material.Words, Family: sheet.Material.Family, Magnetic: sheet.Material.Magnetic,
		Thickness: sheet.Thickness.Micron(), InsideRadius: radius.Micron(),
		AngleTolerance: part.Tolerance.Angle.CentiDeg(), SizeTolerance: part.Tolerance.Length.Micron(),
		Sizes: sizes, PastSquare: string(p.SizesPastSquare()), MarkedFace: part.MarkedFace, Grain: part.Grain,
	}
}

// mirrorMark is where the feature of the mirror check is marked.
func mirrorMark(p *process.Plan) *Point {
	at, ok := wording.MirrorMark(p)
	if !ok {
		return nil
	}
	return &Point{unit.MM(at.X).Micron(), unit.MM(at.Y).Micron()}
}

// FreezeBrake rounds what a sheet tells of the brake.
func FreezeBrake(k *brake.Brake) Brake {
	reads := "bend"
	if k.Scale.Opening {
		reads = "opening"
	}
	return Brake{
		Name: k.Name, Reads: reads, Zero: k.Scale.Zero.CentiDeg(), MaxAngle: k.Leaf.MaxAngle.CentiDeg(),
		Magnet: k.Magnet.Pressure > 0, Foot: k.Controls.Foot, TwoHand: k.Controls.TwoHand,
		FullFace: k.Leaf.FullFace.Micron(), SlimFace: k.Leaf.SlimFace.Micron(),
		LeafDepth: k.Leaf.Thickness.Micron(),
	}
}

// FreezeBlank rounds the blank alone. Without steps in the plan no nose lines
// are known: they depend on which side is clamped and under which bar, and stay
// at the origin with Step 0.
func FreezeBlank(p *process.Plan) Blank {
	b := p.Blank
	out := Blank{
		Width: b.Width.Micron(), Height: b.Height.Micron(),
		Diagonal: unit.MM(math.Hypot(float64(b.Width), float64(b.Height))).Micron(),
		Area:     int64(math.Round(b.Area())), Grams: int64(math.Round(float64(b.Mass()) * 1000)),
		SumSizes: b.SumSizes.Micron(), Outline: frozenPoints(b.Outline[0]),
	}
	for _, hole := range b.Outline[1:] {
		out.Holes = append(out.Holes, frozenPoints(hole))
	}
	out.Curves = frozenCurves(b)
	for i := range b.Joints {
		out.Lines = append(out.Lines, frozenLine(p, i))
	}
	out.Faces = frozenFaces(b)
	out.RunningX, out.RunningY = running(out)
	return out
}

func frozenLine(p *process.Plan, joint int) BendLine {
	j, b := p.Blank.Joints[joint], p.Bends[joint]
	out := BendLine{
		Bend: j.ID, Word: j.Word, Up: j.Up(), Angle: j.Bend.Angle.CentiDeg(), Radius: j.Bend.Radius.Micron(),
		Allowance: j.Bend.Allowance().Micron(), Deduction: j.Deduction.Micron(),
		KFactor: int64(math.Round(j.Bend.K * 1000)), KRule: b.Rule,
		Line: frozenPair(j.Line),
	}
	tangents := j.Tangents()
	out.Tangents = [2][2]Point{frozenPair(tangents[0]), frozenPair(tangents[1])}
	for _, s := range p.Steps {
		for _, made := range s.Joints {
			if made == joint {
				out.Step, out.Nose = s.Number, frozenPair(alongside(s.NoseLine, j.Line))
			}
		}
	}
	return out
}

// alongside cuts the nose line of a whole step to the length of one of its
// bends, and turns it to run the same way.
func alongside(nose, line [2]geom.Point2) [2]geom.Point2 {
	along := line[1].Sub(line[0]).Unit()
	off := nose[0].Sub(line[0])
	by := off.Sub(along.Times(along.Dot(off)))
	return [2]geom.Point2{line[0].Add(by), line[1].Add(by)}
}

// running lists the distances from the two datum edges that the one who cuts
// and marks the blank needs: every corner, the middle of every round hole, and
// the nose lines. Each is rounded
// from the exact sum, never added up from rounded ones.
func running(b Blank) (x, y []unit.Micron) {
	var points []Point
	for ring := range b.Rings() {
		points = append(points, b.Corners(ring)...)
	}
	for _, l := range b.Lines {
		if l.Step == 0 {
			continue
		}
		if l.Nose[0].X == l.Nose[1].X {
			x = append(x, l.Nose[0].X)
		}
		if l.Nose[0].Y == l.Nose[1].Y {
			y = append(y, l.Nose[0].Y)
		}
	}
	for _, p := range points {
		x, y = append(x, p.X), append(y, p.Y)
	}
	return distinct(x), distinct(y)
}

// apart is the least distance between two running dimensions that are told
// apart: a twentieth of what a rule shows.
const apart unit.Micron = 50

func distinct(values []unit.Micron) []unit.Micron {
	sort.Slice(values, func(i, j int) bool { return values[i] < values[j] })
	var out []unit.Micron
	for _, v := range values {
		if n := len(out); n == 0 || v-out[n-1] >= apart {
			out = append(out, v)
		}
	}
	return out
}

// FreezeHandling gives of a step how the part is moved before it, and no more.
func FreezeHandling(b *flat.Blank, s process.Step) Step {
	out := Step{TurnOver: s.TurnOver, Over: string(s.Over), Rotate: s.Rotate, FaceUp: s.FaceUp, Clamped: b.Word(s.Clamped), Tip: s.Tip}
	if out.Turned() != s.RotateBy {
		out.RotateBy = s.RotateBy
	}
	return out
}

func frozenStep(p *process.Plan, s process.Step) Step {
	from, moved := frozenTouch(p, s.GaugeFrom), FreezeHandling(p.Blank, s)
	out := Step{
		Number: s.Number, Bend: s.Bends[0], Word: p.Blank.Word(s.Bends[0]),
		TurnOver: s.TurnOver, Over: moved.Over, Rotate: s.Rotate, RotateBy: moved.RotateBy,
		FaceUp: s.FaceUp, Tip: s.Tip, Clamped: moved.Clamped, Swinging: p.Blank.Word(s.Swinging),
		Bar: s.Bar.Name, Leaf: string(s.Leaf), Place: string(s.Place),
		Length: s.Length.Micron(), NoseSetback: s.NoseSetback.Micron(),
		Stop: s.Stop.CentiDeg(), StopBend: s.StopBend.CentiDeg(), Springback: s.Springback.CentiDeg(), StopFrom: s.StopFrom,
		Target: s.Target.CentiDeg(), Flattening: FreezeFlatten(p.Blank, s.Flatten), Tolerance: p.Blank.Part.Tolerance.Angle.CentiDeg(),
		SlideOut: s.SlideOut, Packing: s.PackingStrip, BarPlace: s.BarPlace, Gaps: frozenGaps(s.Gaps),
		GaugeFrom: &from, Gauge: s.Gauge.Micron(), BackStop: s.BackStop.Micron(),
		Checks: frozenChecks(p, s.Checks), Leg: s.Leg.Micron(), ToolsAt: frozenTools(s.ToolsAt),
		Clearance: s.Clearance.Micron(), Between: [2]string{p.Blank.Word(s.Between[0]), s.Between[1]}, Tight: s.Tight,
		Before: FreezeShapes(s.Before), After: FreezeShapes(s.After), Cautions: frozenCautions(s.Cautions),
		Bench: FreezePicture(p.Blank, scene.Bench(p, s.Number)), Lay: FreezePicture(p.Blank, scene.Lay(p, s.Number)),
	}
	if s.Bar.Gauged().Behind > 0 {
		out.ContactLine = s.LineSetback().Micron()
	}
	if s.Segments == nil {
		out.BarGrams = int64(math.Round(s.Bar.Weight() * 1000))
	}
	for _, g := range s.Segments {
		out.Segments = append(out.Segments, Segment{g.Width.Micron(), g.At.Micron()})
	}
	return out
}

// FreezeFlatten rounds how a hem is flattened; nil stays nil.
func FreezeFlatten(b *flat.Blank, f *process.Flatten) *Flattening {
	if f == nil {
		return nil
	}
	return &Flattening{
		Face: b.Word(f.Face), Onto: b.Word(f.Onto),
		Back: f.Back.Micron(), Strip: f.Strip.Micron(), Packing: f.Packing.Micron(), OnBed: f.PackingOnBed,
		Width: f.Width.Micron(), Mallet: f.Mallet, Before: FreezeShapes(f.Before), After: FreezeShapes(f.After),
	}
}

// FreezeShapes rounds the bodies of an end view.
func FreezeShapes(shapes []process.Shape) []Shape {
	var out []Shape
	for _, s := range shapes {
		out = append(out, Shape{string(s.Role), frozenOutline(s.Outline)})
	}
	return out
}

func frozenCautions(cautions []process.Caution) []Caution {
	var out []Caution
	for _, c := range cautions {
		out = append(out, Caution{string(c.Level), c.Text()})
	}
	return out
}
