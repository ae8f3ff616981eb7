package flat

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// sentence begins a text with a capital letter.
func sentence(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// judge notes what can be made of the blank but may not come out well, and
// refuses what would tear.
func (d *developer) judge() {
	d.openingsLieWell()
	d.boxFaces()
	var bulging bulges
	for i := range d.blank.Joints {
		d.relieved(i, &bulging)
	}
	bulging.told(d)
	d.shortFlanges()
	d.cornerReliefs()
	d.stockSheets()
}

// bulges gathers the ends of bends that lie beside sheet of one face, so that
// each relief that would do is told once.
type bulges struct {
	keys []bulge
	at   map[bulge][]string // the places
	of   map[bulge][]string // the bends
}

type bulge struct {
	face       string
	wide, deep unit.MM
}

func (b *bulges) add(key bulge, bend, place string) {
	if b.at == nil {
		b.at, b.of = map[bulge][]string{}, map[bulge][]string{}
	}
	if b.at[key] == nil {
		b.keys = append(b.keys, key)
	}
	b.at[key] = append(b.at[key], place)
	if !slices.Contains(b.of[key], bend) {
		b.of[key] = append(b.of[key], bend)
	}
}

func (b *bulges) told(d *developer) {
	for _, key := range b.keys {
		bends, ends, lets := "bend "+b.of[key][0], "ends", "it bends"
		if len(b.of[key]) > 1 {
			bends, ends, lets = "bends "+strings.Join(b.of[key], ", "), "end", "they bend"
		}
		places := b.at[key]
		where := strings.Join(places, " and ")
		if len(places) > 2 {
			where = fmt.Sprintf("%s and %d more corners", places[0], len(places)-1)
		}
		d.caution("%s %s beside the sheet of face %s and will bulge there, at %s of the blank; with reliefs %s mm wide, to %s mm behind "+
			"the bend line, %s clean.",
			bends, ends, key.face, where, key.wide.Text(1), key.deep.Text(1), lets)
	}
}

// relieved looks at the sheet beyond both ends of a bend. Sheet on both sides of
// the line there would have to tear; sheet on one side bulges.
func (d *developer) relieved(joint int, bulging *bulges) {
	const beyond = 0.05 // mm past the end
	j := d.blank.Joints[joint]
	along := j.Line[1].Sub(j.Line[0]).Unit()
	for k, end := range j.Line {
		out := along.Times(beyond * float64(2*k-1))
		on := [2]bool{}
		for side := range on {
			on[side] = d.sheetAt(joint, end.Add(out).Add(j.Across.Times(j.Half()/2*float64(2*side-1))))
		}
		wide, deep := mm(float64(max(d.sheet.Thickness, j.Bend.Radius))), mm(j.Half()+float64(d.sheet.Thickness)/2)
		switch {
		case on[0] && on[1]:
			d.refuse(d.blank.Pointer(joint), "bend %s ends inside the sheet at (%s, %s), where it would tear; cut a relief there, %s mm wide or "+
				"more and from the edge to %s mm behind the bend line", j.ID, mm(end.X).Text(1), mm(end.Y).Text(1), wide.Text(1), deep.Text(1))
		case on[0] || on[1]:
			face := d.blank.Faces[j.Faces[0]].ID
			if on[1] {
				face = d.blank.Faces[j.Faces[1]].ID
			}
			bulging.add(bulge{face, wide, deep}, j.ID, fmt.Sprintf("(%s, %s)", mm(end.X).Text(1), mm(end.Y).Text(1)))
		}
	}
}

// sheetAt reports whether there is sheet at a place of the blank that does not
// bend on the same line as a joint.
func (d *developer) sheetAt(joint int, p geom.Point2) bool {
	line := d.blank.Joints[joint].Line
	for i := range d.blank.Joints {
		if z := &d.zones[i]; p.X < z.low.X || p.X > z.high.X || p.Y < z.low.Y || p.Y > z.high.Y {
			continue
		}
		k := &d.blank.Joints[i]
		along := k.Line[1].Sub(k.Line[0]).Unit()
		if math.Abs(along.Cross(line[0].Sub(k.Line[0]))) < Snap && math.Abs(along.Cross(line[1].Sub(k.Line[0]))) < Snap && k.Zone.Holds(p) {
			return false
		}
	}
	for i := range d.blank.Faces {
		if z := &d.boxes[i]; p.X > z.low.X && p.X < z.high.X && p.Y > z.low.Y && p.Y < z.high.Y && d.blank.Faces[i].holds(p) {
			return true
		}
	}
	return false
}

// boxFaces works out the boxes around the faces.
func (d *developer) boxFaces() {
	d.boxes = make([]box, len(d.blank.Faces))
	for i, f := range d.blank.Faces {
		b := &d.boxes[i]
		b.low, b.high = geom.Bounds(f.Pieces[0]...)
		for _, g := range f.Pieces[1:] {
			low, high := geom.Bounds(g...)
			b.low = geom.Point2{X: min(b.low.X, low.X), Y: min(b.low.Y, low.Y)}
			b.high = geom.Point2{X: max(b.high.X, high.X), Y: max(b.high.Y, high.Y)}
		}
	}
}

// box is the smallest box around something.
type box struct{ low, high geom.Point2 }

// shortFlanges notes outer faces that are too short for a leaf to turn up.
func (d *developer) shortFlanges() {
	for _, f := range d.blank.Leaves() {
		for _, j := range d.blank.Joints {
			if j.Faces[0] != f && j.Faces[1] != f {
				continue
			}
			_, half := d.blank.Middle(f, j.Across)
			size := mm(2*half-j.Half()) + d.takeOff(j.Bend)
			if least := j.Bend.LeastFlange(); size < least-Snap {
				d.caution("face %s is %s mm high at bend %s, too short for the leaf to turn up; %s mm will do, or it has to be clamped and the "+
					"rest turned up.", d.blank.Faces[f].ID, size.Text(1), j.ID, least.Text(1))
			}
		}
	}
}

// Inches of FAA-H-8083-31 volume 1 chapter 4, "Folding a box": the least
// diameter of a relief hole in aluminium alloy, by the thickness of the sheet.
var reliefHoles = []struct{ upTo, diameter unit.MM }{
	{0.064 * unit.PerInch, 0.125 * unit.PerInch},
	{0.128 * unit.PerInch, 0.1875 * unit.PerInch},
}

// LeastRelief is the least diameter of a corner relief in aluminium sheet of a
// thickness; false where the source gives none.
//
// Source: FAA-H-8083-31 volume 1 chapter 4. Between the two ranges it gives the
// larger hole is taken.
func LeastRelief(thickness unit.MM) (unit.MM, bool) {
	for _, r := range reliefHoles {
		if thickness <= r.upTo+1e-9 {
			return r.diameter, true
		}
	}
	return 0, false
}

// cornerReliefs notes corner cuts of aluminium that are smaller than advised.
func (d *developer) cornerReliefs() {
	t := d.part.Tray
	if t == nil || d.sheet.Material.Family != "aluminium" || t.Corners.Relief == part.NoRelief {
		return
	}
	lengthwise := len(t.Walls[part.Left])+len(t.Walls[part.Right]) > 0
	if crosswise := len(t.Walls[part.Front])+len(t.Walls[part.Back]) > 0; !lengthwise || !crosswise {
		return
	}
	if least, known := LeastRelief(d.sheet.Thickness); known && t.Corners.Size < least-Snap {
		d.caution("corner reliefs of %s mm are smaller than the %s mm advised for aluminium of this thickness (FAA-H-8083-31): look for "+
			"cracks at the corners of the base.", t.Corners.Size.Text(1), least.Text(1))
	}
}

// StockSheets are the sheet sizes that are usually kept, the largest last
// (common practice, no source).
var StockSheets = [][2]unit.MM{
	{1000, 2000}, {48 * unit.PerInch, 96 * unit.PerInch}, {1250, 2500}, {48 * unit.PerInch, 120 * unit.PerInch},
	{1500, 3000}, {60 * unit.PerInch, 120 * unit.PerInch},
}

// stockSheets notes a blank that no usual sheet holds.
func (d *developer) stockSheets() {
	b := d.blank
	short, long := min(b.Width, b.Height), max(b.Width, b.Height)
	var sizes []string
	for _, s := range StockSheets {
		if short <= s[0] && long <= s[1] {
			return
		}
		sizes = append(sizes, s[0].Text(0)+" x "+s[1].Text(0))
	}
	d.caution("the blank, %s x %s mm, is larger than the sheets that are usually kept (%s mm): ask for a larger sheet, or split the part.",
		b.Width.Text(1), b.Height.Text(1), strings.Join(sizes, ", "))
}
