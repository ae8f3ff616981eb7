package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// Stock is a size of sheet that is bought. The rolling direction, and so the
// grain, runs along its length.
type Stock struct{ Length, Width unit.MM }

// UsualStock lists the sizes most sheet is sold in (common practice, no
// source): the metric ones, and 8 x 4 feet.
func UsualStock() []Stock {
	return []Stock{{2000, 1000}, {2438, 1219}, {2500, 1250}, {3000, 1500}}
}

// CutOrder is a job for the shear: a traveler and the sheets to cut from, of
// sides above 0.
type CutOrder struct {
	*traveler.Traveler
	Stock []Stock // the usual ones if none is named
}

// nest is how one size of sheet is sheared: strips off its length, each as wide
// as a blank is along the sheet, and blanks off each strip.
type nest struct {
	sheet        Stock
	along, cross unit.MM // the blank's sides along the sheet and across it
	strips, each int     // strips of a sheet, and blanks of a strip
	sheets       int     // for the whole job
	yield        float64 // share of the sheets' area that becomes blanks
	turned       bool    // the blank's x lies across the sheet
}

// pieces is how many blanks one sheet gives.
func (n nest) pieces() int { return n.strips * n.each }

// nests lists the ways to shear a job's blanks, the least waste first. Where
// the grain matters a blank lies only the way that keeps it.
func (o CutOrder) nests() []nest {
	w, h := o.Blank.Width.MM(), o.Blank.Height.MM()
	stocks := o.Stock
	if len(stocks) == 0 {
		stocks = UsualStock()
	}
	var all []nest
	for _, stock := range stocks {
		for _, turned := range []bool{false, true} {
			if o.Part.Grain == "x" && turned || o.Part.Grain == "y" && !turned {
				continue
			}
			n := nest{sheet: stock, along: w, cross: h, turned: turned}
			if turned {
				n.along, n.cross = h, w
			}
			if n.count(o.Quantity); n.pieces() > 0 {
				all = append(all, n)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b nest) int { return cmp.Compare(b.yield, a.yield) })
	return all
}

// count works out how many sheets the job needs and how much of them is used.
func (n *nest) count(quantity int) {
	if n.along <= 0 || n.cross <= 0 {
		return
	}
	n.strips, n.each = int(n.sheet.Length/n.along+1e-9), int(n.sheet.Width/n.cross+1e-9)
	if n.pieces() == 0 {
		return
	}
	quantity = max(1, quantity)
	n.sheets = (quantity + n.pieces() - 1) / n.pieces()
	n.yield = float64(quantity) * float64(n.along*n.cross) / (float64(n.sheets) * float64(n.sheet.Length*n.sheet.Width))
}

// CutSheet is the page for the shear: the size of the blank, how many, and how
// they lie on the sheets that are sold. Blanks are counted as the rectangles
// they are cut from. A traveler without a code gives a page without one.
// It fails as Pages does.
func CutSheet(o CutOrder) (*draw.Page, error) {
	s, err := newSheet(o.Traveler)
	if err != nil {
		return nil, fmt.Errorf("cut sheet %s: %w", o.Code, err)
	}
	if o.Code != "" {
		if s.codes, err = codesOf(o.Traveler); err != nil {
			return nil, err
		}
	}
	c, b := s.further()
	list := o.nests()
	place(c, b, []block{s.cutSize(), s.cutTable(list), s.cutPlan(list)})
	s.finish()
	c.page.Description = wordsCutUse
	return c.page, nil
}

// cutSize is the size of the blank in large figures, and its diagonals, which
// show whether it is square.
func (s *sheet) cutSize() block {
	return solid(30, func(c canvas, b box) {
		c.frame(b, draw.Heavy)
		left, right := b.inset(2).cutLeft(b.w * 0.66)
		rows := left.rows(2)
		c.write(rows[0], lettering{face: draw.Bold, size: 10, least: smallest}, cutWords(s.Traveler))
		c.write(rows[1], lettering{face: draw.Bold, size: 8, least: smallest}, blankSize(s.Blank))
		lines := right.rows(3)
		c.write(lines[0], strongly, diagonalWords(s.Blank))
		c.write(lines[1], plain, grainWords(s.Part))
		c.write(lines[2], plain, weightWords(s.Blank))
	})
}

// cutRow is the height of a line of the table.
const cutRow = 7.0

// cutTable compares the sizes of sheet.
func (s *sheet) cutTable(list []nest) block {
	list = list[:min(len(list), 6)]
	return solid(cutRow*float64(1+max(1, len(list))), func(c canvas, b box) {
		c.frame(b, draw.Outline)
		rows := b.rows(1 + max(1, len(list)))
		c.cutLine(rows[0], smallBold, wordsCutHead)
		if len(list) == 0 {
			c.write(rows[1].inset(1), bold, wordsCutNone)
		}
		for i, n := range list {
			c.line(draw.Thin, spot(rows[i+1].x, rows[i+1].y), spot(rows[i+1].right(), rows[i+1].y))
			c.cutLine(rows[i+1], strongly, nestWords(n))
		}
	})
}

func (c canvas) cutLine(row box, l lettering, words []string) {
	for i, cell := range row.columns(46, 58, 28, 28, 26) {
		if i < len(words) {
			c.write(cell.inset(1), l, words[i])
		}
	}
}

// finestCut is the least distance between two cuts that is drawn.
const finestCut = 1.0

// cutPlan draws the best way to shear to scale: the cuts between the blanks of
// a full sheet, and hatched what is left over. Cuts too close to be told apart
// are left out.
func (s *sheet) cutPlan(list []nest) block {
	return block{least: 60, most: 120, draw: func(c canvas, b box) {
		if len(list) == 0 {
			return
		}
		n := list[0]
		top, b := b.cutTop(7)
		c.write(top, strongly, planOfNest(n))
		room := b.inset(2)
		length, width := float64(n.sheet.Length), float64(n.sheet.Width)
		scale := math.Min(room.w/length, room.h/width)
		lies := room.middle(length*scale, width*scale)
		along, cross := float64(n.along)*scale, float64(n.cross)*scale
		used := box{lies.x, lies.bottom() - float64(n.each)*cross, float64(n.strips) * along, float64(n.each) * cross}
		c.add(draw.Box(draw.NoPen, draw.Hatched, lies.x, lies.y, lies.w, lies.h))
		c.fill(used, draw.Paper)
		for i := 1; i < n.strips && along >= finestCut; i++ {
			x := used.x + float64(i)*along
			c.line(draw.Thin, spot(x, used.y), spot(x, used.bottom()))
		}
		for i := 1; i < n.each && cross >= finestCut; i++ {
			y := used.bottom() - float64(i)*cross
			c.line(draw.Thin, spot(used.x, y), spot(used.right(), y))
		}
		c.frame(used, draw.Outline)
		c.frame(lies, draw.Heavy)
	}}
}
