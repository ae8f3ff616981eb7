package part

import (
	"bytes"
	"encoding/json"
	"fmt"

	"brakeside/calc/unit"
)

// Write writes a part as a part file in millimetres, one face, bend or hole a
// line, so that
//
//	Read(Write(p)) == p
//
// but for the unit and the places of what was read. A length that is no number
// is a plain error.
func Write(p Part) ([]byte, error) {
	f := file{
		Number: p.Number, Title: p.Title, Revision: p.Revision, Units: "mm", Material: p.Material,
		Thickness: given(float64(p.Thickness)), InsideRadius: given(float64(p.InsideRadius)), K: given(p.K),
		Sizes: string(p.Sizes), Over90: string(p.Over90), Grain: p.Grain, MarkedFace: p.MarkedFace,
	}
	if p.Gauge != "" {
		f.Gauge = &p.Gauge
	}
	if asked := p.Tolerance; asked.AngleAsked || asked.LengthAsked {
		f.Tolerance = &fileTol{}
		if asked.AngleAsked {
			f.Tolerance.Angle = given(float64(asked.Angle))
		}
		if asked.LengthAsked {
			f.Tolerance.Length = given(float64(asked.Length))
		}
	}
	p.shapeInto(&f)
	for _, h := range p.Holes {
		f.Holes = append(f.Holes, fileHole{h.Face, inFull(h.At), float64(h.Diameter)})
	}
	for _, c := range p.Cutouts {
		f.Cutouts = append(f.Cutouts, fileCutout{c.Face, plainAll(c.Outline)})
	}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(f); err != nil {
		return nil, fmt.Errorf("write part %s: %w", p.Number, err)
	}
	return spread(out.Bytes()), nil
}

func (p Part) shapeInto(f *file) {
	switch p.Form() {
	case ProfileForm:
		f.Profile = &fileProf{Length: float64(p.Profile.Length), Legs: floats(p.Profile.Legs), Bends: floats(p.Profile.Bends)}
	case TrayForm:
		f.Tray = trayFile(p.Tray)
	default:
		f.Flat = flatFile(p.Flat)
	}
}

func trayFile(t *Tray) *fileTray {
	chain := func(side Side) (out []fileWall) {
		for _, w := range t.Walls[side] {
			entry := fileWall{Leg: float64(w.Leg), Angle: given(float64(w.Angle)), Mitre: float64(w.Mitre), Hem: string(w.Hem)}
			if w.Span != [2]unit.MM{} {
				span := inFull(w.Span)
				entry.Span = &span
			}
			out = append(out, entry)
		}
		return out
	}
	c := &fileCorn{
		Relief: string(t.Corners.Relief), Size: given(float64(t.Corners.Size)),
		Tabs: string(t.Corners.Tabs), TabWidth: given(float64(t.Corners.TabWidth)),
	}
	gap := float64(t.Corners.Gap)
	c.Gap = &gap
	return &fileTray{
		Base:    []float64{float64(t.BaseX), float64(t.BaseY)},
		Walls:   fileWalls{Left: chain(Left), Right: chain(Right), Front: chain(Front), Back: chain(Back)},
		Corners: c,
	}
}

func flatFile(f *Flat) *fileFlat {
	out := &fileFlat{Joined: f.Joined}
	for _, face := range f.Faces {
		out.Faces = append(out.Faces, fileFace{face.ID, plainAll(face.Outline)})
	}
	for _, b := range f.Bends {
		out.Bends = append(out.Bends, fileBend{
			ID: b.ID, Between: b.Between, Line: [2][2]float64{inFull(b.Line[0]), inFull(b.Line[1])},
			Angle: given(float64(b.Angle)), Radius: float64(b.Radius), Hem: string(b.Hem),
		})
	}
	return out
}

// given is a value that is written only when there is one.
func given(v float64) *float64 {
	if v == 0 {
		return nil
	}
	return &v
}

func inFull(p [2]unit.MM) [2]float64 { return [2]float64{float64(p[0]), float64(p[1])} }

func plainAll(points [][2]unit.MM) (out [][2]float64) {
	for _, p := range points {
		out = append(out, inFull(p))
	}
	return out
}

func floats[T ~float64](values []T) (out []float64) {
	for _, v := range values {
		out = append(out, float64(v))
	}
	return out
}

// spread begins a line at every object but the outermost.
func spread(compact []byte) []byte {
	var out bytes.Buffer
	quoted, escaped := false, false
	for i, c := range compact {
		switch {
		case escaped:
			escaped = false
		case c == '\\':
			escaped = true
		case c == '"':
			quoted = !quoted
		case c == '{' && !quoted && i > 0:
			out.WriteString("\n ")
		}
		out.WriteByte(c)
	}
	return out.Bytes()
}
