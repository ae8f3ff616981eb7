package sheet

import "brakeside/traveler/draw"

// box is a rectangle of the page that one thing is laid out in, in millimetres
// from the top left corner. Boxes are made by cutting larger ones, so that what
// is drawn in two boxes cannot overlap.
type box struct{ x, y, w, h float64 }

// right and bottom are the far edges.
func (b box) right() float64  { return b.x + b.w }
func (b box) bottom() float64 { return b.y + b.h }

// cutTop takes a strip of the given height off the top.
func (b box) cutTop(height float64) (strip, rest box) {
	return box{b.x, b.y, b.w, height}, box{b.x, b.y + height, b.w, b.h - height}
}

// cutBottom takes a strip of the given height off the bottom.
func (b box) cutBottom(height float64) (strip, rest box) {
	return box{b.x, b.bottom() - height, b.w, height}, box{b.x, b.y, b.w, b.h - height}
}

// cutLeft takes a strip of the given width off the left.
func (b box) cutLeft(width float64) (strip, rest box) {
	return box{b.x, b.y, width, b.h}, box{b.x + width, b.y, b.w - width, b.h}
}

// cutRight takes a strip of the given width off the right.
func (b box) cutRight(width float64) (strip, rest box) {
	return box{b.right() - width, b.y, width, b.h}, box{b.x, b.y, b.w - width, b.h}
}

// inset takes a border of the same width off all four edges.
func (b box) inset(border float64) box {
	return box{b.x + border, b.y + border, b.w - 2*border, b.h - 2*border}
}

// middle is the box of the given size in the centre of this one.
func (b box) middle(w, h float64) box {
	return box{b.x + (b.w-w)/2, b.y + (b.h-h)/2, w, h}
}

// centre is the middle of the box.
func (b box) centre() draw.Point { return draw.Point{X: b.x + b.w/2, Y: b.y + b.h/2} }

// columns cuts the box into parts side by side, with widths in the given
// proportion.
func (b box) columns(shares ...float64) []box {
	sum := 0.0
	for _, s := range shares {
		sum += s
	}
	parts := make([]box, len(shares))
	for i, s := range shares {
		parts[i], b = b.cutLeft(b.w * s / sum)
		sum -= s
	}
	return parts
}

// rows cuts the box into n equal parts one below the other.
func (b box) rows(n int) []box {
	parts := make([]box, n)
	for i := range parts {
		parts[i] = box{b.x, b.y + b.h*float64(i)/float64(n), b.w, b.h / float64(n)}
	}
	return parts
}

// meets reports whether two boxes share any area.
func (b box) meets(o box) bool {
	return b.x < o.right() && o.x < b.right() && b.y < o.bottom() && o.y < b.bottom()
}

// grown is the box with a border of the given width put around it.
func (b box) grown(border float64) box { return b.inset(-border) }
