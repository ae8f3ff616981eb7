package papers

import (
	"fmt"
	"math"
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// CutSheet is the page for the shear: the size of the blank, how many, and how
// they lie on the sheets that are sold. Blanks are counted as the rectangles
// they are cut from. A traveler without a code gives a page without one.
// It fails as sheet.Pages does.
func CutSheet(o CutOrder) (*draw.Page, error) {
	s, err := page.New(o.Traveler)
	if err != nil {
		return nil, fmt.Errorf("cut sheet %s: %w", o.Code, err)
	}
	if o.Code != "" {
		if s.Codes, err = page.CodesOf(o.Traveler); err != nil {
			return nil, err
		}
	}
	c, b := s.Further()
	list := o.nests()
	uses := chosen(list, max(1, o.Quantity))
	blocks := []page.Block{cutSize(s), cutTable(list, uses)}
	for _, u := range uses {
		blocks = append(blocks, cutPlan(u, len(uses)))
	}
	page.Place(c, b, blocks)
	s.Finish()
	c.Page.Description = wordsCutUse
	return c.Page, nil
}

// cutSize is the size of the blank in large figures, and its diagonals, which
// show whether it is square.
func cutSize(s *page.Set) page.Block {
	return page.Solid(30, func(c canvas.Canvas, b canvas.Box) {
		c.Frame(b, draw.Heavy)
		left, right := b.Inset(2).CutLeft(b.W * 0.66)
		rows := left.Rows(2)
		c.Write(rows[0], canvas.Lettering{Face: draw.Bold, Size: 10, Least: canvas.Smallest}, cutWords(s.Traveler))
		c.Write(rows[1], canvas.Lettering{Face: draw.Bold, Size: 8, Least: canvas.Smallest}, phrase.BlankSize(s.In(), s.Blank))
		lines := right.Rows(3)
		c.Write(lines[0], canvas.Strongly, phrase.Diagonals(s.In(), s.Blank))
		c.Write(lines[1], canvas.Plain, phrase.Grain(s.Part))
		c.Write(lines[2], canvas.Plain, phrase.Weight(s.Blank))
	})
}

// cutRow is the height of a line of the table.
const cutRow = 7.0

// cutTable compares the sizes of sheet.
func cutTable(list []nest, uses []use) page.Block {
	list = list[:min(len(list), 6)]
	return page.Solid(cutRow*float64(1+max(1, len(list))), func(c canvas.Canvas, b canvas.Box) {
		c.Frame(b, draw.Outline)
		rows := b.Rows(1 + max(1, len(list)))
		cutLine(c, rows[0], canvas.SmallBold, wordsCutHead)
		if len(list) == 0 {
			c.Write(rows[1].Inset(1), canvas.Bold, wordsCutNone)
		}
		for i, n := range list {
			c.Line(draw.Thin, canvas.Spot(rows[i+1].X, rows[i+1].Y), canvas.Spot(rows[i+1].Right(), rows[i+1].Y))
			cutLine(c, rows[i+1], canvas.Strongly, nestWords(n, uses))
		}
	})
}

func cutLine(c canvas.Canvas, row canvas.Box, l canvas.Lettering, words []string) {
	for i, cell := range row.Columns(46, 58, 28, 28, 26) {
		if i < len(words) {
			c.Write(cell.Inset(1), l, words[i])
		}
	}
}

// finestCut is the least distance between two cuts that is drawn.
const finestCut = 1.0

// cutPlan draws one size of sheet to scale with the cuts in their order: beside
// it what each cut is, hatched what is left over. Cuts too close to be told
// apart are left out.
func cutPlan(u use, of int) page.Block {
	return page.Block{Least: 120 / float64(of), Most: 150 / float64(of), Draw: func(c canvas.Canvas, b canvas.Box) {
		top, b := b.CutTop(7)
		c.Write(top, canvas.Strongly, planOfUse(u))
		list := listCuts(u.nest)
		shown := min(len(list), int(b.H*0.75/cutStep))
		below := float64(shown) * cutStep
		steps, room := b.CutTop(below)
		if shown < len(list) {
			list[shown-1] = fmt.Sprintf("and %d cuts more, as drawn: there is no room here for their words", len(list)-shown+1)
		}
		for i, row := range steps.Rows(shown) {
			c.Write(row, canvas.Plain, list[i])
		}
		length, width := float64(u.nest.sheet.Length), float64(u.nest.sheet.Width)
		room = room.Inset(2)
		scale := math.Min(room.W/length, room.H/width)
		lies := room.Middle(length*scale, width*scale)
		c.Add(draw.Box(draw.NoPen, draw.Hatched, lies.X, lies.Y, lies.W, lies.H))
		trim := float64(u.nest.trim)
		drawPattern(c, u.nest.cuts, lies.X+trim*scale, lies.Bottom()-trim*scale, scale)
		c.Frame(lies, draw.Heavy)
	}}
}

// cutStep is the height of a line of the list of cuts.
const cutStep = 4.2

// drawPattern draws the blanks of a pattern, whose lower left corner is given.
func drawPattern(c canvas.Canvas, p *pattern, x, y, scale float64) {
	if p.first != nil {
		drawPattern(c, p.first, x, y, scale)
		away := piece{p.of.along - p.second.of.along, p.of.cross - p.second.of.cross}
		drawPattern(c, p.second, x+float64(away.along.MM())*scale, y-float64(away.cross.MM())*scale, scale)
		return
	}
	if p.blanks == 0 {
		return
	}
	along, cross := float64((p.blank.along+p.gap).MM())*scale, float64((p.blank.cross+p.gap).MM())*scale
	used := canvas.Box{X: x, Y: y - float64(p.each)*cross, W: float64(p.strips) * along, H: float64(p.each) * cross}
	c.Fill(used, draw.Paper)
	for i := 1; i < p.strips && along >= finestCut; i++ {
		c.Line(draw.Thin, canvas.Spot(x+float64(i)*along, used.Y), canvas.Spot(x+float64(i)*along, y))
	}
	for i := 1; i < p.each && cross >= finestCut; i++ {
		c.Line(draw.Thin, canvas.Spot(x, y-float64(i)*cross), canvas.Spot(used.Right(), y-float64(i)*cross))
	}
	c.Frame(used, draw.Outline)
}

// What stands on the page for the shear.
const (
	wordsCutUse  = "Sizes and number of the blanks, and how they lie on sheets that are sold."
	wordsCutNone = "The blank is larger than every sheet in the list, less the trim of its edges."
)

// wordsCutHead heads the table of the shear.
var wordsCutHead = []string{"SHEET", "ON A SHEET", "SHEETS IF ALONE", "YIELD", "TAKE"}

func cutWords(t *traveler.Traveler) string { return fmt.Sprintf("CUT %d", t.Quantity) }

// nestWords are a line of the table of the shear: what one size gives, were the
// whole job cut from it, and how many of it the plan takes.
func nestWords(n nest, uses []use) []string {
	take := "-"
	for _, u := range uses {
		if u.nest.sheet == n.sheet {
			take = strconv.Itoa(u.sheets)
		}
	}
	return []string{sheetWords(n.sheet), strconv.Itoa(n.pieces()), strconv.Itoa(n.sheets), fmt.Sprintf("%.0f %%", 100*n.yield), take}
}

func sheetWords(s Stock) string {
	return fmt.Sprintf("%s × %s", phrase.Number(float64(s.Length)), phrase.Number(float64(s.Width)))
}

func planOfUse(u use) string {
	return fmt.Sprintf("%d of %s, %d blanks from each; stop when the job has its number",
		u.sheets, sheetWords(u.nest.sheet), u.nest.pieces())
}
