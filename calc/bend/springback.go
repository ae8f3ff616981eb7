package bend

import (
	"math"

	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// Expected is the springback expected of a bend: the degrees of bend angle the
// metal goes back by when the leaf lets go. Stop = target + Degrees.
type Expected struct {
	Degrees   unit.Deg
	Low, High unit.Deg // the usual spread
	From      string   // where the figure came from, as printed
	Beyond    bool     // the handbook table ends before this radius: to be cautioned about
}

// SD is the standard deviation the spread stands for: half the span.
func (e Expected) SD() unit.Deg { return (e.High - e.Low) / 2 }

// Springback is what is expected before the shop has measured anything: what
// practice knows of the material at 90 degrees, in proportion to the angle, and
// never less than the elastic formula or the handbook table say. Radius and
// thickness are those of the bend.
func Springback(s stock.Sheet, b Bend) Expected {
	s.Thickness = b.Thickness
	share := b.Angle / 90
	at90 := s.Material.Springback
	expected := Expected{Degrees: at90.Mean * share, Low: at90.Low * share, High: at90.High * share, From: "common practice for the material"}
	expected = expected.atLeast(handbookFloor(s, b), "handbook springback factor")
	expected = expected.atLeast(ElasticSpringback(s, b), "elastic formula")
	return expected.beyond(s, b)
}

// atLeast lifts the expectation to a floor and keeps its spread above it.
func (e Expected) atLeast(floor unit.Deg, from string) Expected {
	if floor <= e.Degrees {
		return e
	}
	return Expected{Degrees: floor, Low: floor, High: floor + e.High - e.Degrees, From: from}
}

// beyond takes the expectation on past the last column of the handbook table,
// where the elastic formula alone would fall far below it: what the table says in
// its last column over what the formula says there is held from there on. How
// far that is off nobody knows; the spread grows with the way past the table,
// from nothing towards the whole difference to the formula.
func (e Expected) beyond(s stock.Sheet, b Bend) Expected {
	reach, found := s.Material.HandbookReach()
	last := reach.Of(b.Thickness)
	if !found || b.Radius <= last {
		return e
	}
	factor, _ := s.Material.HandbookSpringback(reach)
	end, elastic := b, ElasticSpringback(s, b)
	end.Radius = last
	floor := elastic * (b.Angle/unit.Deg(factor) - b.Angle) / ElasticSpringback(s, end)
	if floor > e.Degrees {
		doubt := (floor - elastic) * unit.Deg(1-last/b.Radius)
		e = e.atLeast(floor, "handbook springback factor, held past the end of its table")
		e.Low, e.High = e.Low-doubt, e.High+doubt
	}
	e.Beyond = true
	return e
}

// handbookFloor is the springback by the handbook factor kR: the angle under
// load is the target over kR. 0 where the table has nothing.
func handbookFloor(s stock.Sheet, b Bend) unit.Deg {
	factor, found := s.Material.HandbookSpringback(stock.Multiple(b.Radius / b.Thickness))
	if !found {
		return 0
	}
	return b.Angle/unit.Deg(factor) - b.Angle
}

// ElasticSpringback is the least a bend goes back by: the elastic part of a
// bend of a metal that yields and does not harden. The neutral line keeps its
// length, so the angle under load is A (r + t/2) / (r0 + t/2), with r0 the
// inside radius under load, see Released. Real metal hardens and the brake
// gives, so it is a floor and no prediction.
//
// Source: Kalpakjian and Schmid, Manufacturing Engineering and Technology.
func ElasticSpringback(s stock.Sheet, b Bend) unit.Deg {
	s.Thickness = b.Thickness
	loaded := UnderLoad(s, b.Radius)
	return b.Angle * unit.Deg(max(0, b.Radius-loaded)/(loaded+b.Thickness/2)) // the root's last digit may lie above
}

// Released is the inside radius after the load is off, of a sheet bent to an
// inside radius under load:
//
//	r0 / r = 4 x^3 - 3 x + 1, x = r0 Y / (E t)
//
// with Y the yield stress and E the modulus. It is infinite from x = 1/2, where
// the sheet only flexes. Source: Kalpakjian and Schmid.
func Released(s stock.Sheet, underLoad unit.MM) unit.MM {
	x := float64(s.Material.Yield/s.Material.Modulus) * float64(underLoad/s.Thickness)
	if x >= 0.5 {
		return unit.MM(math.Inf(1))
	}
	return underLoad / unit.MM(4*x*x*x-3*x+1)
}

// UnderLoad is the inside radius to bend to for an inside radius after the load
// is off: Released backwards. With x as there and q = r Y / (E t) it is the root
// of q (4 x^3 - 3 x + 1) = x between 0 and 1/2, found by Newton's rule from
// below, where the curve is hollow and no step goes too far.
func UnderLoad(s stock.Sheet, released unit.MM) unit.MM {
	perRadius := float64(s.Material.Yield/s.Material.Modulus) / float64(s.Thickness)
	q := float64(released) * perRadius
	if math.IsInf(q, 1) {
		return unit.MM(0.5 / perRadius)
	}
	x := q / (1 + 3*q)
	for range 60 {
		step := (q*(4*x*x*x-3*x+1) - x) / (q*(3-12*x*x) + 1)
		x += step
		if step <= x*1e-16 {
			break
		}
	}
	return unit.MM(x / perRadius)
}

// Relaxed is the inside radius that is left of a bend under load when it springs
// back to the angle of b: the line through the middle of the sheet keeps its
// length, so r + t/2 grows by stop over target.
func Relaxed(b Bend, springback unit.Deg) unit.MM {
	half := b.Thickness / 2
	return (b.Radius+half)*unit.MM((b.Angle+springback)/b.Angle) - half
}
