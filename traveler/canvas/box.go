package canvas

import "brakeside/traveler/draw"

// Box is a rectangle of the page that one thing is laid out in, in millimetres
// from the top left corner. Boxes are made by cutting larger ones, so that what
// is drawn in two boxes cannot overlap.
type Box struct{ X, Y, W, H float64 }

// Right is where the right edge lies.
func (b Box) Right() float64 { return b.X + b.W }

// Bottom is where the lower edge lies.
func (b Box) Bottom() float64 { return b.Y + b.H }

// CutTop takes a strip of the given height off the top.
func (b Box) CutTop(height float64) (strip, rest Box) {
	return Box{b.X, b.Y, b.W, height}, Box{b.X, b.Y + height, b.W, b.H - height}
}

// CutBottom takes a strip of the given height off the bottom.
func (b Box) CutBottom(height float64) (strip, rest Box) {
	return Box{b.X, b.Bottom() - height, b.W, height}, Box{b.X, b.Y, b.W, b.H - height}
}

// CutLeft takes a strip of the given width off the left.
func (b Box) CutLeft(width float64) (strip, rest Box) {
	return Box{b.X, b.Y, width, b.H}, Box{b.X + width, b.Y, b.W - width, b.H}
}

// CutRight takes a strip of the given width off the right.
func (b Box) CutRight(width float64) (strip, rest Box) {
	return Box{b.Right() - width, b.Y, width, b.H}, Box{b.X, b.Y, b.W - width, b.H}
}

// Inset takes a border of the same width off all four edges.
func (b Box) Inset(border float64) Box {
	return Box{b.X + border, b.Y + border, b.W - 2*border, b.H - 2*border}
}

// Middle is the box of the given size in the centre of this one.
func (b Box) Middle(w, h float64) Box {
	return Box{b.X + (b.W-w)/2, b.Y + (b.H-h)/2, w, h}
}

// Centre is the middle of the box.
func (b Box) Centre() draw.Point { return draw.Point{X: b.X + b.W/2, Y: b.Y + b.H/2} }

// Columns cuts the box into parts side by side, with widths in the given
// proportion.
func (b Box) Columns(shares ...float64) []Box {
	sum := 0.0
	for _, s := range shares {
		sum += s
	}
	parts := make([]Box, len(shares))
	for i, s := range shares {
		parts[i], b = b.CutLeft(b.W * s / sum)
		sum -= s
	}
	return parts
}

// Rows cuts the box into n equal parts one below the other.
func (b Box) Rows(n int) []Box {
	parts := make([]Box, n)
	for i := range parts {
		parts[i] = Box{b.X, b.Y + b.H*float64(i)/float64(n), b.W, b.H / float64(n)}
	}
	return parts
}

// Meets reports whether two boxes share any area.
func (b Box) Meets(o Box) bool {
	return b.X < o.Right() && o.X < b.Right() && b.Y < o.Bottom() && o.Y < b.Bottom()
}

// Grown is the box with a border of the given width put around it.
func (b Box) Grown(border float64) Box { return b.Inset(-border) }
