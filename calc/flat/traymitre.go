package flat

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// mostMitre is the largest mitre that is proposed, in degrees: that of the part
// file.
const mostMitre unit.Deg = 80

// mitred cuts the legs of a level that the part file gives a mitre. What then
// leaves less than the gap is cut back to it; what runs through each other is
// refused.
func (c *corner) mitred(i int) {
	var given []int
	for side, e := range c.sides {
		if c.has(side, i) && e.chain[i].Mitre != 0 {
			given = append(given, side)
		}
	}
	if given == nil {
		return
	}
	for _, side := range given {
		c.slant(side, i, c.sides[side].chain[i].Mitre)
	}
	switch {
	case !c.facing() || c.apart(i):
	case c.nearest(i) == 0:
		c.tooLittle(i, given)
	default:
		back := c.backed(i)
		for _, side := range given {
			c.cutBack(side, i, back)
		}
	}
}

// slant gives the end of a leg a mitre, from where it begins.
func (c *corner) slant(side, i int, mitre unit.Deg) {
	cut := c.cut(side, i)
	cut.flatEnd = cut.flatStart + c.sides[side].flats[i]*math.Tan(mitre.Rad())
}

// backed cuts the legs of a level back together until the gap stays, and gives
// by how much.
func (c *corner) backed(i int) float64 {
	var was [2]cut
	for side := range c.sides {
		if c.has(side, i) {
			was[side] = *c.cut(side, i)
		}
	}
	cut := func(back float64) {
		for side := range c.sides {
			if c.has(side, i) {
				to := was[side].back(was[side].flatStart + back)
				to.flatEnd = was[side].flatEnd + back
				*c.cut(side, i) = to
			}
		}
	}
	back := least(0, 0, func(back float64) bool { cut(back); return c.apart(i) })
	cut(back)
	return back
}

// tooLittle refuses a mitre that lets a leg run through what stands beside it,
// and names the least one that does not. Legs that are given the same are taken
// to be meant alike.
func (c *corner) tooLittle(i int, given []int) {
	first := c.sides[given[0]]
	mitre := first.chain[i].Mitre
	if len(given) == 2 && c.sides[1].chain[i].Mitre != mitre {
		given = given[:1]
	}
	from, most := int(math.Ceil(float64(mitre)*10)), int(mostMitre*10)
	tenths := from + sort.Search(most-from+1, func(k int) bool {
		for _, side := range given {
			c.slant(side, i, unit.Deg(from+k)/10)
		}
		return c.apart(i)
	})
	right := "leave it out, and the ends are cut to fit"
	if tenths <= most {
		right = fmt.Sprintf("give %s or more, or %s", (unit.Deg(tenths) / 10).Text(1), right)
	}
	c.refuse(fmt.Sprintf("/tray/walls/%s/%d/mitre", first.side, i),
		"a mitre of %s degrees lets %s overlap what stands beside it at the corner of %s and %s; %s",
		mitre.Text(1), first.ids[i], c.sides[0].side, c.sides[1].side, right)
}

// fitted is what was cut otherwise than drawn, with the legs it was done to.
type fitted struct {
	how  string
	legs []string
}

// fit notes how a leg was cut so that it fits.
func (p *pan) fit(leg, how string, values ...any) {
	how = fmt.Sprintf(how, values...)
	k := slices.IndexFunc(p.fitted, func(f fitted) bool { return f.how == how })
	if k < 0 {
		k, p.fitted = len(p.fitted), append(p.fitted, fitted{how: how})
	}
	if f := &p.fitted[k]; !slices.Contains(f.legs, leg) {
		f.legs = append(f.legs, leg)
	}
}

// tellFitted says in one sentence what was cut otherwise than drawn.
func (p *pan) tellFitted() {
	var cuts []string
	side := func(leg string) int {
		of, _, _ := strings.Cut(leg, " ")
		return slices.Index(part.SidesInOrder, part.Side(of))
	}
	for _, f := range p.fitted {
		slices.SortStableFunc(f.legs, func(a, b string) int { return side(a) - side(b) })
		cuts = append(cuts, strings.Join(f.legs, ", ")+" "+f.how)
	}
	if cuts != nil {
		p.caution("cut to fit, so that a gap of %s mm stays where they meet: %s.", p.tray.Corners.Gap.Text(1), strings.Join(cuts, "; "))
		p.blank.CutToFit = p.blank.Cautions[len(p.blank.Cautions)-1]
	}
}
