// Package flat works out the blank: what to shear, and where its bend lines
// lie.
//
// Whatever form a part is drawn in, its blank is the one model that all later
// packages use: flat faces joined by straight bends into a tree. Faces meet on
// the middle of the bend zone between them; the zone reaches half a bend
// allowance to each side. The blank is seen from face A, x to the right and y
// up, with its lower left corner at the origin. Lengths are millimetres.
package flat

import (
	"brakeside/calc/bend"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// Blank is a developed part.
type Blank struct {
	Part    part.Part
	Sheet   stock.Sheet
	Making  Making
	Faces   []Face
	Joints  []Joint
	Outline []geom.Polygon // the outer edge first, anticlockwise, then openings, clockwise
	Width   unit.MM
	Height  unit.MM
	// SumSizes is what the outside sizes of a profile add up to; the blank of a
	// profile with square bends must come out smaller. 0 for other forms.
	SumSizes unit.MM
	Curves   []Curve  // runs of corners of the outline that are really arcs
	Cautions []string // what can be made but may not come out well, in words
	// CutToFit is the one of these that says which legs are cut otherwise than
	// drawn; empty where none is. Whoever cuts the blank needs it.
	CutToFit string

	rounds []round // circles that were cut into the blank as chords
}

// Curve is a run of corners of one loop of the outline that lies on a circle:
// from corner From on, Chords edges that stand for one arc. All of a round hole
// is one curve. A drawn curve that is no arc has radius 0.
type Curve struct {
	Loop, From, Chords int
	Centre             geom.Point2
	Radius             float64
}

// Opening is a hole or a cutout of a face.
type Opening struct {
	Outline geom.Polygon // clockwise
	Centre  geom.Point2  // of a round hole
	Radius  float64      // 0 for a cutout

	pointer string // where it stands in the part's file
}

// Face is one flat face. Pieces that the part file joins are one face.
type Face struct {
	ID      string
	Word    string         // what people read for it
	Aliases []string       // names of joined pieces beside ID
	Pieces  []geom.Polygon // anticlockwise, as drawn, to the middle of the bend zones
	Solid   []geom.Polygon // convex, what is really flat: to the tangents only
	// Openings are not taken off Pieces and Solid: whoever asks whether
	// something meets the face takes it as whole.
	Openings []Opening
}

// Joint is one bend between two faces.
type Joint struct {
	ID    string
	Word  string // what people read for it
	Faces [2]int
	Line  [2]geom.Point2 // middle of the bend zone
	Angle unit.Deg       // signed: + folds towards face A
	Bend  bend.Bend
	Rule  string // how the K-factor was chosen
	// Deduction is what comes off the two sizes beside the bend, as the part
	// file gives them, to make the blank; outside sizes where it gives none.
	Deduction unit.MM
	Across    geom.Point2  // of length 1, square to the line, from Faces[0] to Faces[1]
	Zone      geom.Polygon // the bend zone in the blank
	// Hem says that the bend is folded right over, in two operations. Bend and
	// Angle, 180 degrees, are those of the finished hem.
	Hem part.Hem
}

// Up reports whether the bend folds towards face A.
func (j Joint) Up() bool { return j.Angle > 0 }

// Half is half the bend allowance: from the middle of the zone to a tangent.
func (j Joint) Half() float64 { return float64(j.Bend.Allowance()) / 2 }

// Tangents gives the two lines where the bend zone begins, on the side of
// Faces[0], and ends.
func (j Joint) Tangents() [2][2]geom.Point2 {
	by := j.Across.Times(j.Half())
	return [2][2]geom.Point2{
		{j.Line[0].Sub(by), j.Line[1].Sub(by)},
		{j.Line[0].Add(by), j.Line[1].Add(by)},
	}
}

// Pointer is where a bend stands in the part's file, as a JSON pointer; where
// the shape stands for a joint below 0 or one that the file does not list.
func (b *Blank) Pointer(joint int) string {
	if b.Part.Profile == nil && b.Part.Tray == nil && b.Part.Flat == nil {
		return ""
	}
	form := "/" + string(b.Part.Form())
	if joint < 0 {
		return form
	}
	id := b.Joints[joint].ID
	switch b.Part.Form() {
	case part.ProfileForm:
		return form + "/bends/" + itoa(joint)
	case part.FlatForm:
		for i, drawn := range b.Part.Flat.Bends {
			if drawn.ID == id {
				return form + "/bends/" + itoa(i)
			}
		}
		return form
	}
	for _, side := range part.SidesInOrder {
		for i := range b.Part.Tray.Walls[side] {
			if wallID(side, i) == id {
				return form + "/walls/" + string(side) + "/" + itoa(i)
			}
		}
	}
	return form
}

// Length is the length of the bend.
func (j Joint) Length() unit.MM { return unit.MM(j.Line[1].Sub(j.Line[0]).Length()) }

// Area is the area of the blank in square millimetres, openings left out and
// arcs counted as arcs.
func (b *Blank) Area() float64 {
	sum := 0.0
	for _, loop := range b.Outline {
		sum += loop.Area()
	}
	for _, c := range b.Curves {
		if c.Radius > 0 {
			sum += c.beyond(b.Outline[c.Loop])
		}
	}
	return sum
}

// Mass is the mass of the blank, and of the part.
func (b *Blank) Mass() unit.KG { return b.Sheet.Mass(unit.MM2(b.Area())) }

// FaceIndex finds a face by its name or by that of a joined piece; -1 if there
// is none.
func (b *Blank) FaceIndex(id string) int {
	for i, f := range b.Faces {
		if f.ID == id {
			return i
		}
		for _, a := range f.Aliases {
			if a == id {
				return i
			}
		}
	}
	return -1
}

// Develop works out the blank of a part from its sheet. What no brake could
// make is refused with the place in the part's file: a leg shorter than its
// bends use up, pieces that do not hang together, faces that overlap.
func Develop(p part.Part, sheet stock.Sheet) (*Blank, error) {
	return DevelopFor(p, sheet, Making{})
}

// Making is how the bends of a part are to be made, as far as the blank depends
// on it.
type Making struct {
	Practice bend.Practice
	Tools    map[string]bend.Tool // by bend; a bend that is not there has no tool yet
}

// DevelopFor is Develop for one shop and the bars it will bend with.
func DevelopFor(p part.Part, sheet stock.Sheet, making Making) (*Blank, error) {
	d := &developer{part: p, sheet: sheet, blank: &Blank{Part: p, Sheet: sheet, Making: making}}
	switch {
	case p.Profile != nil:
		d.profile(p.Profile)
	case p.Tray != nil:
		d.trayForm(p.Tray)
	default:
		d.flat(p.Flat)
	}
	if d.err == nil {
		d.openings()
	}
	if d.err == nil {
		d.deductions()
		d.finish()
	}
	if d.err == nil {
		d.judge()
	}
	if d.err != nil {
		return nil, d.err
	}
	d.blank.punched()
	return d.blank, nil
}

// deductions notes what each bend takes off its two sizes; where the part gives
// none, it is that of outside sizes.
func (d *developer) deductions() {
	for i, s := range d.bends {
		if s.off == 0 {
			s.off = 2 * d.takeOff(s.Bend)
		}
		d.blank.Joints[i].Deduction = s.off - s.Allowance()
	}
}

// developer carries the blank while it grows, and the first refusal.
type developer struct {
	part  part.Part
	sheet stock.Sheet
	blank *Blank
	bends []*signedBend // by joint
	err   error
	// spots gives, by face, the place in the blank of what the part file places
	// in the face's own coordinates; none for a blank that is drawn as such.
	spots []func(x, y float64) geom.Point2
	zones []zone // by joint
	boxes []box  // by face
}

func (d *developer) refuse(pointer, format string, values ...any) {
	if d.err == nil {
		d.err = d.part.Refuse(pointer, format, values...)
	}
}

// Made is a bend of the blank as it is to be made.
func (b *Blank) Made(joint int) bend.Making {
	j := b.Joints[joint]
	return bend.Making{Sheet: b.Sheet, Bend: j.Bend, Pinned: b.Part.K, Tool: b.Making.Tools[j.ID]}
}

// bend gives the arithmetic of one bend; radius 0 means the part's own.
func (d *developer) bend(id string, angle unit.Deg, radius unit.MM) (bend.Bend, string) {
	if radius == 0 {
		radius = d.part.InsideRadius
	}
	making := d.blank.Making
	radius = making.Practice.RadiusUnder(d.sheet, radius, making.Tools[id])
	return making.Practice.Reckon(bend.Making{
		Sheet:  d.sheet,
		Bend:   bend.Bend{Angle: max(angle, -angle), Radius: radius, Thickness: d.sheet.Thickness},
		Pinned: d.part.K, Tool: making.Tools[id],
	})
}

// takeOff is how far a tangent lies inside the end of a size: the outside
// setback, or r+t where a size runs to the outside tangent of a bend of more
// than a right angle, as it always does at a hem.
func (d *developer) takeOff(b bend.Bend) unit.MM {
	if d.part.Over90 == part.Tangent || b.Angle >= 180 {
		return b.TangentReach()
	}
	return b.OutsideSetback()
}

// insideExtra is what a size grows by at this bend when it is measured over
// the outer faces instead of the inner ones.
func (d *developer) insideExtra(b bend.Bend) unit.MM {
	inner := b
	inner.Thickness = 0
	return d.takeOff(b) - d.takeOff(inner)
}

// outsideSize turns a size of the part file into the outside one. The bends
// are those at its ends, nil where the sheet just ends.
func (d *developer) outsideSize(size unit.MM, ends [2]*signedBend) unit.MM {
	for _, e := range ends {
		if e != nil {
			size += d.added(e, ends)
		}
	}
	return size
}

// added is what one of the bends at the ends of a size adds to it when it is
// measured outside. Between two bends of opposite sign an inside size is
// measured over one inner and one outer face, so only half of it counts.
func (d *developer) added(e *signedBend, ends [2]*signedBend) unit.MM {
	switch {
	case d.part.Sizes != part.Inside:
		return 0
	case ends[0] != nil && ends[1] != nil && (ends[0].angle > 0) != (ends[1].angle > 0):
		return d.insideExtra(e.Bend) / 2
	}
	return d.insideExtra(e.Bend)
}

// signedBend is a bend with the direction it folds in.
type signedBend struct {
	bend.Bend
	angle unit.Deg
	rule  string
	off   unit.MM // taken off the sizes beside it
	hem   part.Hem
}

func (d *developer) signed(id string, angle unit.Deg, radius unit.MM) *signedBend {
	b, rule := d.bend(id, angle, radius)
	return &signedBend{Bend: b, angle: angle, rule: rule}
}

// hemmed is a hem, or the ordinary bend where the part file asks for none.
func (d *developer) hemmed(id string, angle unit.Deg, hem part.Hem) *signedBend {
	if hem == part.NoHem {
		return d.signed(id, angle, 0)
	}
	s := &signedBend{Bend: bend.Bend{Angle: 180, Thickness: d.sheet.Thickness, K: hemK}, angle: angle, hem: hem, rule: hemRule}
	if hem == part.OpenHem {
		s.Radius = d.sheet.Thickness / 2 // it is flattened over a strip of the same sheet
	}
	if d.part.K > 0 {
		s.K, s.rule = d.part.K, "given in the part file"
	}
	return s
}

// hemK puts the neutral line of a hem in the middle of the sheet. A closed hem
// of inside radius 0 then takes off 2 t - pi t / 2 = 0.43 t, the usual rule of
// the trade (common practice, no source).
const (
	hemK    = 0.5
	hemRule = "hem: neutral line in the middle, 0.43 t off for a closed one (common practice, no source)"
)

// flatLength is what is left of an outside size between the tangents of its
// ends. Where the bends use it up, least is what it must be more than, as the part
// gives sizes; otherwise least is 0.
func (d *developer) flatLength(size unit.MM, ends [2]*signedBend) (length, least unit.MM) {
	outside := d.outsideSize(size, ends)
	used := unit.MM(0)
	for _, e := range ends {
		if e != nil {
			used += d.takeOff(e.Bend)
			e.off += d.takeOff(e.Bend) - d.added(e, ends)
		}
	}
	if outside <= used {
		least = used - (outside - size)
	}
	return outside - used, least
}

// usedUp refuses a size that its bends use up.
func (d *developer) usedUp(pointer string, size, least unit.MM) {
	d.refuse(pointer, "%s mm is used up by its bends; more than %s mm is needed", size.Text(2), least.Text(2))
}

// joint adds a bend; its zone is worked out by finish.
func (d *developer) joint(id, word string, faces [2]int, line [2]geom.Point2, s *signedBend) {
	d.blank.Joints = append(d.blank.Joints, Joint{
		ID: id, Word: word, Faces: faces, Line: line, Angle: s.angle, Bend: s.Bend, Rule: s.rule, Hem: s.hem,
	})
	d.bends = append(d.bends, s)
}
