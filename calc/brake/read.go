package brake

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"brakeside/calc/geom"
	"brakeside/calc/notation"
	"brakeside/calc/plain"
	"brakeside/calc/unit"
)

// file is the brake file as it is written, see the README.
type file struct {
	Name         string             `json:"name"`
	Units        string             `json:"units"`
	UsableLength float64            `json:"usable_length"`
	Bed          fileBed            `json:"bed"`
	Leaf         fileLeaf           `json:"leaf"`
	Bars         []fileBar          `json:"bars"`
	RatingFactor map[string]float64 `json:"rating_factor"`
	NoseSetback  fileNose           `json:"nose_setback"`
	Clearance    fileClearance      `json:"clearance"`
	Overbend     float64            `json:"overbend_swept"`
	Strip        *float64           `json:"min_clamped_strip"`
	StopScale    fileScale          `json:"stop_scale"`
	Minutes      fileMinutes        `json:"minutes"`
	Contact      float64            `json:"part_contact_allowance"`
	Magnet       *fileMagnet        `json:"magnet"`
	Controls     fileControls       `json:"controls"`
	BackStop     *fileBackStop      `json:"back_stop"`
	RatingLength float64            `json:"rating_length"`
	RatingCap    float64            `json:"rating_cap"`
	Clamping     string             `json:"clamping"`
	FingerHeight float64            `json:"finger_height"`
	BeamDepth    float64            `json:"beam_depth"`
	BeamHeight   float64            `json:"beam_height"`
}

type fileBed struct {
	Depth  float64 `json:"depth"`
	Height float64 `json:"height"`
}

type fileLeaf struct {
	FullFace   float64 `json:"full_face"`
	SlimFace   float64 `json:"slim_face"`
	Thickness  float64 `json:"thickness"`
	MaxAngle   float64 `json:"max_angle"`
	SlimRating float64 `json:"slim_rating_t"`
}

type fileBar struct {
	Name              string       `json:"name"`
	Depth             float64      `json:"depth"`
	Height            float64      `json:"height"`
	Section           [][2]float64 `json:"section"`
	Kind              string       `json:"kind"`
	Length            float64      `json:"length"`
	Rating            float64      `json:"rating_t"`
	MaxAngle          float64      `json:"max_angle"`
	OutsideRadius     float64      `json:"outside_radius"`
	NoseRadius        float64      `json:"nose_radius"`
	Slots             *fileSlots   `json:"slots"`
	Widths            []float64    `json:"widths"`
	Missing           []float64    `json:"missing"`
	JointGapMax       float64      `json:"joint_gap_max"`
	EndGap            [2]float64   `json:"end_gap"`
	UnsupportedEnd    float64      `json:"unsupported_end_max"`
	UnsupportedInside float64      `json:"unsupported_inside_max"`
}

type fileSlots struct {
	First     float64 `json:"first"`
	Pitch     float64 `json:"pitch"`
	Count     int     `json:"count"`
	Width     float64 `json:"width"`
	Height    float64 `json:"height"`
	Clearance float64 `json:"clearance"`
}

type fileNose struct {
	Add          float64 `json:"add"`
	TimesT       float64 `json:"times_t"`
	TimesRMinusT float64 `json:"times_r_minus_t"`
}

type fileClearance struct {
	Bar        *float64 `json:"bar"`
	Nose       *float64 `json:"nose"`
	BedAndLeaf *float64 `json:"bed_and_leaf"`
}

type fileScale struct {
	Reads string  `json:"reads"`
	Zero  float64 `json:"zero"`
}

type fileMagnet struct {
	Pressure float64 `json:"pressure"`
	Margin   float64 `json:"margin"`
}

type fileControls struct {
	Foot    bool `json:"foot"`
	TwoHand bool `json:"two_hand"`
}

type fileBackStop struct {
	From   float64 `json:"from"`
	To     float64 `json:"to"`
	Height float64 `json:"height"`
}

// Read reads a brake file. Every refusal names the line, the column and the
// field, what is wrong and what would be right.
func Read(data []byte) (*Brake, error) {
	var f file
	places, err := notation.Read(data, &f)
	if err != nil {
		return nil, err
	}
	r := &reader{places: places, scale: 1}
	b := r.brake(f)
	if r.err != nil {
		return nil, r.err
	}
	b.source = source{places: places, inch: f.Units == "in"}
	for _, bar := range b.Bars {
		b.source.bars = append(b.source.bars, bar.Name)
	}
	return b, nil
}

type reader struct {
	places notation.Places
	scale  unit.MM
	err    error
}

func (r *reader) refuse(pointer, format string, values ...any) {
	if r.err == nil {
		r.err = r.places.Refuse(pointer, format, values...)
	}
}

// What a size of a brake may be at the least and at the most, in the unit of its file.
const (
	smallestSize = 0.001
	largestSize  = 1e5
)

// size reads a length above zero.
func (r *reader) size(pointer string, v float64) unit.MM {
	if !(v >= smallestSize && v <= largestSize) {
		r.refuse(pointer, "%v is not a size; give a number above 0, from %v to %v", v, smallestSize, largestSize)
	}
	return unit.MM(v) * r.scale
}

// amount reads a number that may be zero but not less.
func (r *reader) amount(pointer string, v float64) float64 {
	if !(v >= 0) || v > 1e6 {
		r.refuse(pointer, "%v does not fit here; give 0 or more", v)
	}
	return v
}

// factor reads a share of a thickness; at 0 every sheet would count as none.
func (r *reader) factor(pointer string, v float64) {
	if !(v > 0) || v > 100 {
		r.refuse(pointer, "%v is not a factor; give a number above 0, for example 1.3", v)
	}
}

// length reads a length that may be zero but not less.
func (r *reader) length(pointer string, v float64) unit.MM {
	return unit.MM(r.amount(pointer, v)) * r.scale
}

// What a brake file that says nothing of them is taken to ask for: silence is no
// reason to come nearer than one would on a brake that one knows (common practice,
// no source).
const (
	usualBarClearance  unit.MM = 1.5
	usualNearClearance unit.MM = 0.3 // of the nose, the bed and the leaf
	usualStrip         unit.MM = 10
)

// lengthOr is the length, or what is usual where the file gives none.
func (r *reader) lengthOr(pointer string, v *float64, usual unit.MM) unit.MM {
	if v == nil {
		return usual
	}
	return r.length(pointer, *v)
}

func (r *reader) brake(f file) *Brake {
	switch f.Units {
	case "", "mm":
	case "in":
		r.scale = unit.PerInch
	default:
		r.refuse("/units", "%q is not a unit here; write \"mm\" or \"in\"", f.Units)
	}
	if f.Name == "" {
		r.refuse("/name", "the brake needs a name")
	}
	r.seen("/name", f.Name)
	b := &Brake{Name: f.Name, RatingFactor: f.RatingFactor}
	r.machine(f, b)
	r.limits(f, b)
	b.Minutes = f.Minutes.minutes(func(field string, v float64) float64 { return r.amount("/minutes/"+field, v) })
	for i, bar := range f.Bars {
		b.Bars = append(b.Bars, r.bar(fmt.Sprintf("/bars/%d", i), bar))
	}
	r.names(b)
	b.Minutes.prefer(b.Bars)
	return b
}

func (r *reader) machine(f file, b *Brake) {
	b.UsableLength = r.size("/usable_length", f.UsableLength)
	b.Bed = Bed{r.size("/bed/depth", f.Bed.Depth), r.size("/bed/height", f.Bed.Height)}
	b.Leaf = Leaf{
		FullFace:   r.size("/leaf/full_face", f.Leaf.FullFace),
		SlimFace:   r.length("/leaf/slim_face", f.Leaf.SlimFace),
		Thickness:  r.size("/leaf/thickness", f.Leaf.Thickness),
		MaxAngle:   unit.Deg(f.Leaf.MaxAngle),
		SlimRating: r.length("/leaf/slim_rating_t", f.Leaf.SlimRating),
	}
	if !(f.Leaf.MaxAngle > 0) || f.Leaf.MaxAngle >= 180 {
		r.refuse("/leaf/max_angle", "%v degrees cannot be; give what the leaf reaches, more than 0 and less than 180", f.Leaf.MaxAngle)
	}
	switch f.Clamping {
	case "", string(LooseBar):
		b.Clamping = LooseBar
	case string(TopLeaf):
		b.Clamping = TopLeaf
		b.FingerHeight = r.size("/finger_height", f.FingerHeight)
		b.BeamDepth = r.size("/beam_depth", f.BeamDepth)
		b.BeamHeight = r.size("/beam_height", f.BeamHeight)
	default:
		r.refuse("/clamping", "%q is not known; write \"loose-bar\" or \"top-leaf\"", f.Clamping)
	}
	switch f.StopScale.Reads {
	case "", "bend":
	case "opening":
		b.Scale.Opening = true
	default:
		r.refuse("/stop_scale/reads", "%q is not known; write \"bend\" or \"opening\"", f.StopScale.Reads)
	}
	b.Scale.Zero = unit.Deg(f.StopScale.Zero)
	if math.Abs(f.StopScale.Zero) > 30 {
		r.refuse("/stop_scale/zero", "%v degrees is no zero offset; give -30 to 30", f.StopScale.Zero)
	}
}

func (r *reader) limits(f file, b *Brake) {
	b.RatingLength = r.length("/rating_length", f.RatingLength)
	if f.RatingLength == 0 {
		b.RatingLength = b.UsableLength
	}
	b.RatingCap = r.amount("/rating_cap", f.RatingCap)
	if f.RatingCap == 0 {
		b.RatingCap = 1
	}
	for _, key := range slices.Sorted(maps.Keys(f.RatingFactor)) {
		r.factor("/rating_factor/"+key, f.RatingFactor[key])
	}
	b.NoseSetback = NoseSetback{
		Add:          float64(r.length("/nose_setback/add", f.NoseSetback.Add)),
		TimesT:       r.amount("/nose_setback/times_t", f.NoseSetback.TimesT),
		TimesRMinusT: r.amount("/nose_setback/times_r_minus_t", f.NoseSetback.TimesRMinusT),
	}
	b.Clearance = Clearance{
		Bar:        r.lengthOr("/clearance/bar", f.Clearance.Bar, usualBarClearance),
		Nose:       r.lengthOr("/clearance/nose", f.Clearance.Nose, usualNearClearance),
		BedAndLeaf: r.lengthOr("/clearance/bed_and_leaf", f.Clearance.BedAndLeaf, usualNearClearance),
	}
	b.OverbendSwept = unit.Deg(r.amount("/overbend_swept", f.Overbend))
	b.LeastClampedStrip = r.lengthOr("/min_clamped_strip", f.Strip, usualStrip)
	b.PartContactAllowance = r.length("/part_contact_allowance", f.Contact)
	b.Controls = Controls(f.Controls)
	r.backStop("/back_stop", f.BackStop, b)
	if f.Magnet != nil && b.Clamping != TopLeaf { // a top leaf clamps by itself, nothing hangs on a magnet
		b.Magnet = Magnet{Pressure: r.amount("/magnet/pressure", f.Magnet.Pressure), Margin: r.amount("/magnet/margin", f.Magnet.Margin)}
	}
}

// backStop reads where the back stop can be set; most brakes have none.
func (r *reader) backStop(pointer string, f *fileBackStop, b *Brake) {
	if f == nil {
		return
	}
	b.BackStop = BackStop{
		From: r.size(pointer+"/from", f.From), To: r.size(pointer+"/to", f.To), Height: r.length(pointer+"/height", f.Height),
	}
	if f.From > f.To {
		r.refuse(pointer+"/to", "%v is nearer than %v; give the least distance behind the hinge first, then the most", f.To, f.From)
	}
}

func (r *reader) bar(pointer string, f fileBar) Bar {
	b := Bar{
		Name: f.Name, Kind: Kind(f.Kind), MaxAngle: unit.Deg(r.amount(pointer+"/max_angle", f.MaxAngle)),
		Rating:               r.size(pointer+"/rating_t", f.Rating),
		JointGapMax:          r.length(pointer+"/joint_gap_max", f.JointGapMax),
		EndGap:               [2]unit.MM{r.length(pointer+"/end_gap/0", f.EndGap[0]), r.length(pointer+"/end_gap/1", f.EndGap[1])},
		UnsupportedEndMax:    r.length(pointer+"/unsupported_end_max", f.UnsupportedEnd),
		UnsupportedInsideMax: r.length(pointer+"/unsupported_inside_max", f.UnsupportedInside),
	}
	switch b.Kind {
	case FullBar, Slotted, Segments:
	case Round:
		b.OutsideRadius = r.size(pointer+"/outside_radius", f.OutsideRadius)
	default:
		r.refuse(pointer+"/kind", "%q is not known; write \"full\", \"slotted\", \"segments\" or \"round\"", f.Kind)
	}
	r.section(pointer, f, &b)
	r.nose(pointer+"/nose_radius", f.NoseRadius, &b)
	if b.Kind == Segments {
		for i, w := range f.Widths {
			b.Widths = append(b.Widths, r.size(fmt.Sprintf("%s/widths/%d", pointer, i), w))
		}
		r.missing(pointer+"/missing", f.Missing, &b)
		if len(b.Widths) > 40 {
			r.refuse(pointer+"/widths", "has %d fingers; at most 40 are worked out", len(b.Widths))
		}
		if b.EndGap[0] > b.EndGap[1] {
			r.refuse(pointer+"/end_gap", "%v is more than %v; give the least gap first, then the most", f.EndGap[0], f.EndGap[1])
		}
	} else {
		b.Length = r.size(pointer+"/length", f.Length)
	}
	if b.Kind == Slotted {
		r.slots(pointer+"/slots", f.Slots, &b)
	}
	return b
}

// nose reads how far the nose edge is rounded; a round bar has none.
func (r *reader) nose(pointer string, radius float64, b *Bar) {
	if b.Kind == Round {
		return
	}
	if b.NoseRadius = r.length(pointer, radius); 2*b.NoseRadius > b.Height || b.NoseRadius > b.Depth {
		r.refuse(pointer, "%v does not go into this section, which is lower or less deep; give 0 for a sharp nose", radius)
	}
}

// missing takes fingers off the shelf that are not there just now.
func (r *reader) missing(pointer string, widths []float64, b *Bar) {
	for i, w := range widths {
		at := slices.Index(b.Widths, unit.MM(w)*r.scale)
		if at < 0 {
			r.refuse(fmt.Sprintf("%s/%d", pointer, i), "%v is not among the fingers of this bar; give a width from its list", w)
			return
		}
		b.Widths = slices.Delete(b.Widths, at, at+1)
	}
}

func (r *reader) slots(pointer string, f *fileSlots, b *Bar) {
	if f == nil {
		r.refuse(pointer, "a slotted bar needs its slots")
		return
	}
	b.Slots = Slots{
		First: r.length(pointer+"/first", f.First), Pitch: r.size(pointer+"/pitch", f.Pitch), Count: f.Count,
		Width: r.size(pointer+"/width", f.Width), Height: r.size(pointer+"/height", f.Height),
		Clearance: r.length(pointer+"/clearance", f.Clearance),
	}
	if f.Count < 1 || f.Count > 10000 {
		r.refuse(pointer+"/count", "%d slots cannot be; give 1 or more", f.Count)
	}
}

// section reads the cross-section; a round bar may leave it out.
func (r *reader) section(pointer string, f fileBar, b *Bar) {
	if b.Kind == Round && len(f.Section) == 0 {
		b.Section = circle(float64(b.OutsideRadius))
		b.Depth, b.Height = 2*b.OutsideRadius, 2*b.OutsideRadius
		return
	}
	for _, p := range f.Section {
		b.Section = append(b.Section, geom.Point2{X: p[0], Y: p[1]}.Times(float64(r.scale)))
	}
	b.Depth, b.Height = r.size(pointer+"/depth", f.Depth), r.size(pointer+"/height", f.Height)
	if len(b.Section) < 3 || math.Abs(b.Section.Area()) < 1 {
		r.refuse(pointer+"/section", "has %d corners; give the outline of the cross-section, [[back from nose, above sheet], ...]",
			len(b.Section))
		return
	}
	if b.Section.Area() < 0 {
		b.Section = b.Section.Reversed()
	}
	if !b.Section.Convex() || !b.Section.Simple() {
		r.refuse(pointer+"/section", "bulges inwards; give its convex outline, which is what must stay clear")
	}
	low, high := geom.Bounds(b.Section...)
	if low.X < -geom.Near || low.Y < -geom.Near {
		r.refuse(pointer+"/section", "reaches before the nose or below the sheet; the nose is at [0, 0]")
	}
	if math.Abs(high.X-float64(b.Depth)) > 0.01 || math.Abs(high.Y-float64(b.Height)) > 0.01 {
		r.refuse(pointer+"/section", "is %.2f deep and %.2f high, but depth and height say %.2f and %.2f",
			high.X, high.Y, float64(b.Depth), float64(b.Height))
	}
}

// circle is a polygon around a circle that stands on the sheet with its front
// at the nose.
func circle(radius float64) geom.Polygon {
	const corners = 24
	out := make(geom.Polygon, corners)
	around := radius / math.Cos(math.Pi/corners)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / corners)
		out[i] = geom.Point2{X: radius + around*cos, Y: radius + around*sin}
	}
	return out
}

func (r *reader) names(b *Brake) {
	if len(b.Bars) == 0 {
		r.refuse("/bars", "the brake needs at least one bar")
	}
	seen := map[string]bool{}
	for i, bar := range b.Bars {
		if bar.Name == "" || seen[bar.Name] {
			r.refuse(fmt.Sprintf("/bars/%d/name", i), "%q: every bar needs a name of its own", bar.Name)
		}
		seen[bar.Name] = true
		r.seen(fmt.Sprintf("/bars/%d/name", i), bar.Name)
	}
}

// seen refuses a name that is longer than is printed, or has a character that cannot
// be seen.
func (r *reader) seen(pointer, name string) {
	if n := len([]rune(name)); n > mostName {
		r.refuse(pointer, "has %d characters; at most %d are kept", n, mostName)
	}
	if bad, found := plain.InName(name); found {
		r.refuse(pointer, "has the character %U, which cannot be seen; take it out", bad)
	}
}

const mostName = 200 // characters
