package why

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"brakeside/calc/geom"
	"brakeside/calc/notation"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// What a drawn blank says is changed corner by corner.

// flatSizes lists the sizes of the faces of a conflict square to its bends.
func (h *healer) flatSizes(c *conflict) []size {
	var out []size
	var done []string
	for _, j := range c.core.Joints {
		drawn, ok := h.drawn(j.ID)
		if !ok {
			continue
		}
		for side, f := range j.Faces {
			across := j.Across
			if side == 0 {
				across = across.Times(-1)
			}
			name := fmt.Sprintf("%s %.3f", c.core.Faces[f].ID, math.Abs(across.Cross(geom.Point2{X: 1})))
			if slices.Contains(done, name) {
				continue
			}
			done = append(done, name)
			out = append(out, h.deep(c.core.Faces[f].Word, c.core.Faces[f].ID, point(drawn.Line[0]), across))
		}
	}
	return out
}

// drawn finds a bend of a drawn blank.
func (h *healer) drawn(id string) (part.FlatBend, bool) {
	i := slices.IndexFunc(h.Part.Flat.Bends, func(b part.FlatBend) bool { return b.ID == id })
	if i < 0 {
		return part.FlatBend{}, false
	}
	return h.Part.Flat.Bends[i], true
}

// deep is how far a face reaches from a bend line in a direction. It is changed by
// moving all that lies beyond its middle.
func (h *healer) deep(word, face string, from, across geom.Point2) size {
	far := 0.0
	for _, f := range h.Part.Flat.Faces {
		if h.blank.FaceIndex(f.ID) == h.blank.FaceIndex(face) {
			for _, p := range f.Outline {
				far = max(far, across.Dot(point(p).Sub(from)))
			}
		}
	}
	middle := from.Add(across.Times(far / 2))
	return size{words: word, as: " on the blank", now: unit.MM(far), to: func(to unit.MM) notation.Patch {
		by := across.Times(float64(to) - far)
		return h.moved(func(p geom.Point2) geom.Point2 {
			if across.Dot(p.Sub(middle)) <= 0 {
				return p
			}
			return p.Add(by)
		})
	}}
}

// moved is the change that moves what a drawn blank is made of.
func (h *healer) moved(move func(geom.Point2) geom.Point2) notation.Patch {
	m := mover{healer: h, move: move}
	for i, f := range h.Part.Flat.Faces {
		m.points(fmt.Sprintf("/flat/faces/%d/outline", i), f.Outline)
	}
	for i, b := range h.Part.Flat.Bends {
		m.points(fmt.Sprintf("/flat/bends/%d/line", i), b.Line[:])
	}
	for i, hole := range h.Part.Holes {
		if to := m.at(hole.At); to != hole.At {
			m.replace(fmt.Sprintf("/holes/%d/at", i), h.place(to))
		}
	}
	for i, cutout := range h.Part.Cutouts {
		m.points(fmt.Sprintf("/cutouts/%d/outline", i), cutout.Outline)
	}
	return m.patch
}

// mover writes down what moving points changes of a file.
type mover struct {
	*healer
	move  func(geom.Point2) geom.Point2
	patch notation.Patch
}

func (m *mover) at(p [2]unit.MM) [2]unit.MM {
	to := m.move(point(p))
	return [2]unit.MM{unit.MM(to.X), unit.MM(to.Y)}
}

func (m *mover) points(pointer string, points [][2]unit.MM) {
	var places [][2]float64
	changed := false
	for _, p := range points {
		to := m.at(p)
		changed = changed || to != p
		places = append(places, m.place(to))
	}
	if changed {
		m.replace(pointer, places)
	}
}

func (m *mover) replace(pointer string, value any) {
	m.patch = append(m.patch, notation.Edit{Op: notation.Replace, Path: pointer, Value: value})
}

// place writes a point as the drawing does.
func (h *healer) place(p [2]unit.MM) [2]float64 {
	return [2]float64{h.Part.Figure(p[0]), h.Part.Figure(p[1])}
}

func point(p [2]unit.MM) geom.Point2 { return geom.Point2{X: float64(p[0]), Y: float64(p[1])} }

// cutBack takes away what of a face reaches past the line of a bend beside it.
func (h *healer) cutBack(c *conflict) {
	if h.Part.Flat == nil {
		return
	}
	for _, j := range c.core.Joints {
		drawn, ok := h.drawn(j.ID)
		if !ok {
			continue
		}
		for side, f := range j.Faces {
			out := j.Across
			if side == 1 {
				out = out.Times(-1)
			}
			by := change{
				words: fmt.Sprintf("cut %s back to the line of bend %s on both sides of it", c.core.Faces[f].Word, j.Word),
				kind:  process.DrawingCure, of: process.OfPart, patch: h.cut(c.core.Faces[f].ID, point(drawn.Line[0]), out),
			}
			if by.patch != nil && !c.full(by.kind) && h.try(by).bends(c) {
				h.offer(c, by)
			}
		}
	}
}

// cut is the change that takes off a face what lies beyond a line; none where
// nothing does.
func (h *healer) cut(face string, through, out geom.Point2) notation.Patch {
	var patch, pieces notation.Patch
	var gone []string
	for i, f := range slices.Backward(h.Part.Flat.Faces) {
		if h.blank.FaceIndex(f.ID) != h.blank.FaceIndex(face) {
			continue
		}
		kept, cut := behind(f.Outline, through, out)
		switch pointer := "/flat/faces/" + strconv.Itoa(i); {
		case kept == nil:
			gone, pieces = append(gone, f.ID), append(pieces, notation.Edit{Op: notation.Remove, Path: pointer})
		case cut:
			var places [][2]float64
			for _, p := range kept {
				places = append(places, h.place(p))
			}
			patch = append(patch, notation.Edit{Op: notation.Replace, Path: pointer + "/outline", Value: places})
		}
	}
	return slices.Concat(patch, h.unjoined(gone), pieces)
}

// unjoined is the change that no longer joins pieces which are taken away.
func (h *healer) unjoined(gone []string) notation.Patch {
	var patch notation.Patch
	for i, pair := range slices.Backward(h.Part.Flat.Joined) {
		if slices.Contains(gone, pair[0]) || slices.Contains(gone, pair[1]) {
			patch = append(patch, notation.Edit{Op: notation.Remove, Path: "/flat/joined/" + strconv.Itoa(i)})
		}
	}
	return patch
}

// nothing is how far a corner may lie beyond a line and count as on it, in
// millimetres.
const nothing = 0.01

// behind keeps what of an outline does not lie beyond a line, going along the line
// where it did, and tells whether anything is cut off; nil where nothing stays.
func behind(outline [][2]unit.MM, through, out geom.Point2) (kept [][2]unit.MM, cut bool) {
	stays := false
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		a, b := out.Dot(point(p).Sub(through)), out.Dot(point(q).Sub(through))
		cut, stays = cut || a > nothing, stays || a < -nothing
		if a <= nothing {
			kept = append(kept, p)
		}
		if a > nothing && b < -nothing || a < -nothing && b > nothing {
			on := point(p).Add(point(q).Sub(point(p)).Times(a / (a - b)))
			kept = append(kept, [2]unit.MM{unit.MM(on.X), unit.MM(on.Y)})
		}
	}
	if !stays || len(kept) < 3 {
		return nil, true
	}
	return kept, cut
}
