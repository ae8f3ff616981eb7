package part

import (
	"fmt"

	"brakeside/calc/unit"
)

// flat reads the blank form; whether the pieces hang together is asked by
// calc/flat, which knows geometry.
func (r *reader) flat(f *fileFlat) *Flat {
	out := &Flat{Joined: f.Joined}
	if len(f.Faces) < 1 || len(f.Faces) > MostFaces {
		r.refuse("/flat/faces", "has %d faces; give 1 to %d", len(f.Faces), MostFaces)
		return out
	}
	known := map[string]bool{}
	for i, face := range f.Faces {
		out.Faces = append(out.Faces, r.face(fmt.Sprintf("/flat/faces/%d", i), face, known))
	}
	bends := map[string]bool{}
	for i, b := range f.Bends {
		out.Bends = append(out.Bends, r.flatBend(fmt.Sprintf("/flat/bends/%d", i), b, known, bends))
	}
	if len(f.Bends) == 0 {
		r.refuse("/flat/bends", "the part has no bend")
	}
	for i, pair := range f.Joined {
		for j, id := range pair {
			if !known[id] {
				r.refuse(fmt.Sprintf("/flat/joined/%d/%d", i, j), "there is no face %q", id)
			}
		}
	}
	return out
}

func (r *reader) face(pointer string, f fileFace, known map[string]bool) Face {
	r.id(pointer+"/id", f.ID, known)
	out := Face{ID: f.ID}
	if len(f.Outline) < 3 {
		r.refuse(pointer+"/outline", "has %d corners; a face needs at least 3", len(f.Outline))
	}
	if r.tooMany(pointer+"/outline", len(f.Outline)) {
		return out
	}
	for i, p := range f.Outline {
		out.Outline = append(out.Outline, r.point(fmt.Sprintf("%s/outline/%d", pointer, i), p))
	}
	return out
}

func (r *reader) flatBend(pointer string, b fileBend, faces, bends map[string]bool) FlatBend {
	r.id(pointer+"/id", b.ID, bends)
	out := FlatBend{ID: b.ID, Between: b.Between, Hem: r.hem(pointer, b.Hem)}
	out.Angle = r.flatAngle(pointer+"/angle", b.Angle, out.Hem)
	for i, id := range b.Between {
		if !faces[id] {
			r.refuse(fmt.Sprintf("%s/between/%d", pointer, i), "there is no face %q", id)
		}
	}
	if b.Between[0] == b.Between[1] {
		r.refuse(pointer+"/between", "a bend joins two different faces")
	}
	for i, p := range b.Line {
		out.Line[i] = r.point(fmt.Sprintf("%s/line/%d", pointer, i), p)
	}
	if out.Line[0] == out.Line[1] {
		r.refuse(pointer+"/line", "has no length")
	}
	if r.places.Has(pointer + "/radius") {
		out.Radius = r.length(pointer+"/radius", b.Radius)
	}
	return out
}

// flatAngle reads the angle of a drawn bend; only that of a hem may be left out.
func (r *reader) flatAngle(pointer string, given *float64, hem Hem) unit.Deg {
	if given == nil && hem == NoHem {
		return r.angle(pointer, 0)
	}
	return r.bendAngle(pointer, given, hem)
}
