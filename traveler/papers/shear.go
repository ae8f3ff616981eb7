package papers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
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
	page.Place(c, b, []page.Block{cutSize(s), cutTable(list), cutPlan(list)})
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
func cutTable(list []nest) page.Block {
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
			cutLine(c, rows[i+1], canvas.Strongly, nestWords(n))
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

// cutPlan draws the best way to shear to scale: the cuts between the blanks of
// a full sheet, and hatched what is left over. Cuts too close to be told apart
// are left out.
func cutPlan(list []nest) page.Block {
	return page.Block{Least: 60, Most: 120, Draw: func(c canvas.Canvas, b canvas.Box) {
		if len(list) == 0 {
			return
		}
		n := list[0]
		top, b := b.CutTop(7)
		c.Write(top, canvas.Strongly, planOfNest(n))
		room := b.Inset(2)
		length, width := float64(n.sheet.Length), float64(n.sheet.Width)
		scale := math.Min(room.W/length, room.H/width)
		lies := room.Middle(length*scale, width*scale)
		along, cross := float64(n.along)*scale, float64(n.cross)*scale
		used := canvas.Box{X: lies.X, Y: lies.Bottom() - float64(n.each)*cross, W: float64(n.strips) * along, H: float64(n.each) * cross}
		c.Add(draw.Box(draw.NoPen, draw.Hatched, lies.X, lies.Y, lies.W, lies.H))
		c.Fill(used, draw.Paper)
		for i := 1; i < n.strips && along >= finestCut; i++ {
			x := used.X + float64(i)*along
			c.Line(draw.Thin, canvas.Spot(x, used.Y), canvas.Spot(x, used.Bottom()))
		}
		for i := 1; i < n.each && cross >= finestCut; i++ {
			y := used.Bottom() - float64(i)*cross
			c.Line(draw.Thin, canvas.Spot(used.X, y), canvas.Spot(used.Right(), y))
		}
		c.Frame(used, draw.Outline)
		c.Frame(lies, draw.Heavy)
	}}
}

// What stands on the page for the shear.
const (
	wordsCutUse  = "Sizes and number of the blanks, and how they lie on sheets that are sold."
	wordsCutNone = "The blank is larger than every sheet in the list."
)

// wordsCutHead heads the table of the shear.
var wordsCutHead = []string{"SHEET", "ON A SHEET", "SHEETS", "YIELD", "BLANK LIES"}

func cutWords(t *traveler.Traveler) string { return fmt.Sprintf("CUT %d", t.Quantity) }

// nestWords are a line of the table of the shear.
func nestWords(n nest) []string {
	lies := "as drawn"
	if n.turned {
		lies = "turned"
	}
	return []string{
		fmt.Sprintf("%s × %s", phrase.Number(float64(n.sheet.Length)), phrase.Number(float64(n.sheet.Width))),
		fmt.Sprintf("%d (%d strips of %d)", n.pieces(), n.strips, n.each),
		strconv.Itoa(n.sheets),
		fmt.Sprintf("%.0f %%", 100*n.yield),
		lies,
	}
}

func planOfNest(n nest) string {
	return fmt.Sprintf("Strips of %s off the length of %s × %s, then blanks of %s off each strip",
		n.along.Text(1), phrase.Number(float64(n.sheet.Length)), phrase.Number(float64(n.sheet.Width)), n.cross.Text(1))
}
