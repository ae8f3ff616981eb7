package papers

import (
	"cmp"
	"math"
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Stock is a size of sheet that is bought. The rolling direction, and so the
// grain, runs along its length.
type Stock struct{ Length, Width unit.MM }

// UsualStock lists the sizes most sheet is sold in (common practice, no
// source): the metric ones, and 8 x 4 feet.
func UsualStock() []Stock {
	return []Stock{{2000, 1000}, {2438, 1219}, {2500, 1250}, {3000, 1500}}
}

// UsualTrim is what is trimmed off each mill edge, so that blanks are measured
// from an edge that is straight (common practice, no source).
const UsualTrim unit.MM = 5

// CutOrder is a job for the shear: a traveler and the sheets to cut from, of
// sides above 0.
type CutOrder struct {
	*traveler.Traveler
	Stock []Stock // the usual ones if none is named
	Trim  unit.MM // off each of the four edges of a sheet
	Gap   unit.MM // what a cut uses up: a blade's kerf; 0 for a shear
}

// nest is how one size of sheet is sheared.
type nest struct {
	sheet  Stock
	trim   unit.MM
	cuts   *pattern
	sheets int     // for the whole job, of this size alone
	yield  float64 // share of the sheets' area that becomes blanks
}

// pieces is how many blanks one sheet gives.
func (n nest) pieces() int { return n.cuts.blanks }

// metal is the area of a sheet in square millimetres.
func (n nest) metal() float64 { return float64(n.sheet.Length * n.sheet.Width) }

// nests lists how to shear a job's blanks from each size of sheet, the least
// waste first. Where the grain matters a blank lies only the way that keeps it.
func (o CutOrder) nests() []nest {
	w, h := o.Blank.Width, o.Blank.Height
	if w <= 0 || h <= 0 {
		return nil
	}
	k := cutter{gap: o.Gap.Micron()}
	if o.Part.Grain != "y" {
		k.lies = append(k.lies, piece{w, h})
	}
	if o.Part.Grain != "x" && (w != h || len(k.lies) == 0) {
		k.lies = append(k.lies, piece{h, w})
	}
	stocks := o.Stock
	if len(stocks) == 0 {
		stocks = UsualStock()
	}
	quantity := max(1, o.Quantity)
	var all []nest
	for _, stock := range stocks {
		n := nest{sheet: stock, trim: o.Trim}
		n.cuts = k.best(piece{(stock.Length - 2*o.Trim).Micron(), (stock.Width - 2*o.Trim).Micron()})
		if n.pieces() == 0 {
			continue
		}
		n.sheets = (quantity + n.pieces() - 1) / n.pieces()
		n.yield = float64(quantity) * float64(w.MM()*h.MM()) / (float64(n.sheets) * n.metal())
		all = append(all, n)
	}
	slices.SortStableFunc(all, func(a, b nest) int { return cmp.Compare(b.yield, a.yield) })
	return all
}

// piece is what a cut leaves: sides along the sheet's length and across it.
type piece struct{ along, cross unit.Micron }

// pattern is how a piece of sheet is sheared, by cuts from edge to edge: either
// in two, each part sheared on by itself, or into strips and blanks off them.
type pattern struct {
	of            piece
	blank         piece // as it lies here, if the piece is not cut in two
	strips, each  int   // strips off the length, and blanks off each
	first, second *pattern
	across        bool // the cut in two runs along the sheet: parts lie one above the other
	blanks, parts int
	gap           unit.Micron // what each cut uses up
}

// cutter finds patterns for one blank.
type cutter struct {
	lies  []piece // the ways a blank may lie
	gap   unit.Micron
	known map[piece]*pattern
	plain bool // too many places for a cut: try only those that part full blocks
}

// mostPlaces bounds the search: above it only blocks of one kind are tried.
const mostPlaces = 1e5

// best is the pattern with most blanks for a sheet, and of those the one in the
// fewest parts.
func (k cutter) best(sheet piece) *pattern {
	k.known = map[piece]*pattern{}
	x, y := float64(len(k.places(sheet.along, false))), float64(len(k.places(sheet.cross, true)))
	k.plain = x*y*(x+y) > mostPlaces
	return k.solve(sheet)
}

func (k cutter) solve(of piece) *pattern {
	if p := k.known[of]; p != nil {
		return p
	}
	best := k.block(of)
	k.known[of] = best
	lie := k.lies[0]
	most := int(float64(of.along+k.gap) * float64(of.cross+k.gap) / (float64(lie.along+k.gap) * float64(lie.cross+k.gap)))
	for _, across := range []bool{false, true} {
		side := of.along
		if across {
			side = of.cross
		}
		for _, at := range k.places(side, across) {
			if best.blanks >= most {
				break
			}
			if p := k.parted(of, at, across); p.blanks > best.blanks || p.blanks == best.blanks && p.parts < best.parts {
				best = p
			}
		}
	}
	k.known[of] = best
	return best
}

// parted is a piece cut in two, each part at its best.
func (k cutter) parted(of piece, at unit.Micron, across bool) *pattern {
	a, b := piece{at, of.cross}, piece{of.along - at - k.gap, of.cross}
	if across {
		a, b = piece{of.along, at}, piece{of.along, of.cross - at - k.gap}
	}
	p := &pattern{of: of, across: across}
	if k.plain {
		p.first, p.second = k.block(a), k.block(b)
	} else {
		p.first, p.second = k.solve(a), k.solve(b)
	}
	p.blanks, p.parts = p.first.blanks+p.second.blanks, p.first.parts+p.second.parts
	return p
}

// block is a piece cut into blanks that all lie one way.
func (k cutter) block(of piece) *pattern {
	best := &pattern{of: of, parts: 1}
	for _, lie := range k.lies {
		n, m := int((of.along+k.gap)/(lie.along+k.gap)), int((of.cross+k.gap)/(lie.cross+k.gap))
		if n > 0 && m > 0 && n*m > best.blanks {
			best = &pattern{of: of, blank: lie, strips: n, each: m, blanks: n * m, parts: 1, gap: k.gap}
		}
	}
	return best
}

// places lists where a side may be cut: behind any row of blanks, each lying as
// it may. A cut elsewhere gains nothing.
func (k cutter) places(side unit.Micron, across bool) []unit.Micron {
	reach := []unit.Micron{0}
	for _, lie := range k.lies {
		step := lie.along + k.gap
		if across {
			step = lie.cross + k.gap
		}
		for _, from := range slices.Clone(reach) {
			if k.plain && from > 0 {
				continue
			}
			for at := from + step; at <= side; at += step {
				reach = append(reach, at)
			}
		}
	}
	slices.Sort(reach)
	reach = slices.Compact(reach)
	var all []unit.Micron
	for _, at := range reach {
		if at > 0 && at < side {
			all = append(all, at-k.gap)
		}
	}
	return all
}

// use is a number of sheets of one size, sheared alike.
type use struct {
	nest   nest
	sheets int
}

// chosen is the fewest sheets that give the job, of one size or of two; of as many
// sheets the least metal, so that the last sheets may be smaller ones.
func chosen(list []nest, quantity int) []use {
	var best []use
	area, sheets := math.Inf(1), math.MaxInt
	for _, a := range list {
		for _, b := range list {
			full := (quantity + a.pieces() - 1) / a.pieces()
			for n := max(0, full-mostSwapped); n <= full; n++ {
				m := (max(0, quantity-n*a.pieces()) + b.pieces() - 1) / b.pieces()
				metal := float64(n)*a.metal() + float64(m)*b.metal()
				if n+m > sheets || n+m == sheets && metal > area-1 {
					continue
				}
				best, area, sheets = []use{{a, n}, {b, m}}, metal, n+m
			}
		}
	}
	return slices.DeleteFunc(best, func(u use) bool { return u.sheets == 0 })
}

// mostSwapped is how many sheets of one size are tried in another.
const mostSwapped = 200
