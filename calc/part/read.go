package part

import (
	"errors"
	"fmt"

	"brakeside/calc/fault"
	"brakeside/calc/notation"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// Read reads a part file. Every refusal names the line, the column and the
// field, what is wrong and what would be right.
func Read(data []byte) (Part, error) {
	var f file
	places, err := notation.Read(data, &f)
	if err != nil {
		return Part{}, err
	}
	r := &reader{places: places, scale: 1}
	p := r.part(f)
	if r.err != nil {
		return Part{}, r.err
	}
	return p, nil
}

func (r *reader) part(f file) Part {
	p := Part{Number: f.Number, Title: f.Title, Revision: f.Revision, Material: f.Material, places: r.places}
	r.texts(f)
	r.units(f, &p)
	r.sheet(f, &p)
	r.manner(f, &p)
	r.tolerance(f.Tolerance, &p)
	r.shape(f, &p)
	r.openings(f, &p)
	return p
}

func (r *reader) texts(f file) {
	for _, t := range []struct{ pointer, text string }{{"/number", f.Number}, {"/title", f.Title}, {"/revision", f.Revision}} {
		if n := len([]rune(t.text)); n > 200 {
			r.refuse(t.pointer, "has %d characters; at most 200 are kept", n)
		}
		r.seen(t.pointer, t.text)
	}
	if f.Number == "" {
		r.refuse("/number", "the part needs a number, for example \"BR-210\"")
	}
}

func (r *reader) units(f file, p *Part) {
	switch f.Units {
	case "mm", "":
	case "in":
		p.Inch, r.scale = true, unit.PerInch
	default:
		r.refuse("/units", "%q is not a unit here; write \"mm\" or \"in\"", f.Units)
	}
}

func (r *reader) sheet(f file, p *Part) {
	if f.Material == "" && f.Gauge != nil {
		r.gaugeAlone(*f.Gauge)
	}
	if f.Material == "" {
		r.refuse("/material", "the part needs a material, for example \"mild-steel\"")
	}
	r.seen("/material", f.Material)
	switch {
	case f.Thickness != nil && f.Gauge != nil:
		r.refuse("/gauge", "give the thickness or the gauge, not both")
	case f.Thickness != nil:
		p.Thickness = r.length("/thickness", *f.Thickness)
		if p.Thickness < ThinnestSheet || p.Thickness > ThickestSheet {
			r.refuse("/thickness", "%v is not the thickness of a sheet; give %s to %s mm",
				*f.Thickness, ThinnestSheet.Text(2), ThickestSheet.Text(0))
		}
	case f.Gauge != nil:
		p.Gauge = *f.Gauge
		if p.Gauge == "" {
			r.refuse("/gauge", "is empty; write for example \"16\"")
		}
	default:
		r.refuse("/thickness", "the part needs a thickness or a gauge")
	}
	if f.InsideRadius != nil {
		p.InsideRadius = r.length("/inside_radius", *f.InsideRadius)
	}
	if f.K != nil {
		p.K = *f.K
		if p.K <= 0 || p.K > 1 {
			r.refuse("/k", "%v is not a K-factor; it is the neutral line's distance from the inside face over the thickness, above 0 and at most 1",
				*f.K)
		}
	}
}

// gaugeAlone refuses a gauge that came without a material, with all it could
// mean.
func (r *reader) gaugeAlone(gauge string) {
	var alone *fault.Refusal
	if errors.As(stock.GaugeAlone(gauge), &alone) {
		r.refuse("/gauge", "%s", alone.Message)
	}
}

// manner reads the words that tell how sizes and faces are meant.
func (r *reader) manner(f file, p *Part) {
	p.Sizes = Sizes(r.word("/sizes", f.Sizes, "outside", "inside"))
	p.Over90 = Over90(r.word("/over_90", f.Over90, "apex", "tangent"))
	p.MarkedFace = r.word("/marked_face", f.MarkedFace, "A", "B")
	if f.Grain != "" {
		p.Grain = r.word("/grain", f.Grain, "x", "y")
	}
}

// Tolerances when the file gives none: what a hand brake usually holds
// (common practice, no source).
const (
	usualAngle  unit.Deg = 1
	usualLength unit.MM  = 0.5
)

func (r *reader) tolerance(t *fileTol, p *Part) {
	p.Tolerance = Tolerance{Angle: usualAngle, Length: usualLength}
	if t == nil {
		return
	}
	if t.Angle != nil {
		p.Tolerance.Angle, p.Tolerance.AngleAsked = unit.Deg(*t.Angle), true
		if *t.Angle <= 0 || *t.Angle > 20 {
			r.refuse("/tolerance/angle", "%v degrees is no tolerance; give more than 0 and at most 20", *t.Angle)
		}
	}
	if t.Length != nil {
		p.Tolerance.Length, p.Tolerance.LengthAsked = r.length("/tolerance/length", *t.Length), true
	}
}

func (r *reader) shape(f file, p *Part) {
	given := 0
	if f.Profile != nil {
		given++
		p.Profile = r.profile(f.Profile)
	}
	if f.Tray != nil {
		given++
		p.Tray = r.tray(f.Tray)
	}
	if f.Flat != nil {
		given++
		p.Flat = r.flat(f.Flat)
	}
	if given != 1 {
		r.refuse("", "the part has %d shapes; give exactly one of \"profile\", \"tray\" and \"flat\"", given)
	}
}

func (r *reader) profile(f *fileProf) *Profile {
	p := &Profile{Length: r.length("/profile/length", f.Length)}
	if len(f.Bends) == 0 || len(f.Bends) > MostFaces {
		r.refuse("/profile/bends", "has %d bends; give 1 to %d", len(f.Bends), MostFaces)
	}
	if len(f.Legs) != len(f.Bends)+1 {
		r.refuse("/profile/legs", "%d bends need %d legs, but there are %d", len(f.Bends), len(f.Bends)+1, len(f.Legs))
	}
	for i, leg := range f.Legs {
		p.Legs = append(p.Legs, r.length(fmt.Sprintf("/profile/legs/%d", i), leg))
	}
	for i, a := range f.Bends {
		p.Bends = append(p.Bends, r.angle(fmt.Sprintf("/profile/bends/%d", i), a))
	}
	return p
}
