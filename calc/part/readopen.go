package part

import "fmt"

// openings reads holes and cutouts; whether they lie in their faces is asked by
// calc/flat.
func (r *reader) openings(f file, p *Part) {
	if n := len(f.Holes) + len(f.Cutouts); n > MostOpenings {
		r.refuse("/holes", "there are %d holes and cutouts, more than the %d that are worked out", n, MostOpenings)
		return
	}
	for i, h := range f.Holes {
		pointer := fmt.Sprintf("/holes/%d", i)
		r.named(pointer+"/face", h.Face)
		p.Holes = append(p.Holes, Hole{Face: h.Face, At: r.point(pointer+"/at", h.At), Diameter: r.length(pointer+"/diameter", h.Diameter)})
	}
	corners := 0
	for i, c := range f.Cutouts {
		pointer := fmt.Sprintf("/cutouts/%d", i)
		r.named(pointer+"/face", c.Face)
		if len(c.Outline) < 3 {
			r.refuse(pointer+"/outline", "has %d corners; a cutout needs at least 3", len(c.Outline))
		}
		if corners += len(c.Outline); r.tooMany(pointer+"/outline", corners) {
			return
		}
		out := Cutout{Face: c.Face}
		for k, at := range c.Outline {
			out.Outline = append(out.Outline, r.point(fmt.Sprintf("%s/outline/%d", pointer, k), at))
		}
		p.Cutouts = append(p.Cutouts, out)
	}
}

func (r *reader) named(pointer, face string) {
	if face == "" {
		r.refuse(pointer, "name the face it lies in")
	}
}
