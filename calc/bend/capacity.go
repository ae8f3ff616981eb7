package bend

import (
	"fmt"

	"brakeside/calc/unit"
)

// Fit is the answer to whether the brake is strong enough, and why, with the
// figures.
type Fit struct {
	OK  bool
	Why string
}

// Rating is what a brake is rated for: mild steel of a thickness over a length.
type Rating struct {
	T      unit.MM // mild steel
	Length unit.MM // over which it holds
	Cap    float64 // how many times T a shorter bend may be, at most
}

// TEquivalent is the thickness of mild steel that is as hard to bend:
// thickness x factor, the brake's own factor for the material or else
// stock.Material.RatingFactor.
func TEquivalent(thickness unit.MM, factor float64) unit.MM { return thickness * unit.MM(factor) }

// nominal forgives what is lost in the last digits, so that a sheet exactly at
// the rating fits.
const nominal = 1 + 1e-9

// FitsFull asks a full or slotted bar: tEq^2 x length <= T^2 x Length, since
// the moment of a bend goes with the square of the thickness and with the
// length, and tEq <= Cap x T.
func FitsFull(tEq, length unit.MM, r Rating) Fit {
	if thickest := unit.MM(r.Cap) * r.T; tEq > thickest*nominal {
		return Fit{false, fmt.Sprintf("counts as %s mm of mild steel, over the %s mm this bar takes at any length",
			tEq.Text(2), thickest.Text(2))}
	}
	return fitsLength(tEq, length, r)
}

// FitsSlimLeaf asks the slim leaf: tEq^2 x length <= T^2 x Length with the
// rating of the slim leaf; it has no cap.
func FitsSlimLeaf(tEq, length unit.MM, r Rating) Fit { return fitsLength(tEq, length, r) }

// fitsLength asks for the length at this thickness.
func fitsLength(tEq, length unit.MM, r Rating) Fit {
	longest := r.Length * (r.T / tEq) * (r.T / tEq)
	fit := Fit{length <= longest*nominal, ""}
	verb := "within"
	if !fit.OK {
		verb = "over"
	}
	fit.Why = fmt.Sprintf("%s mm long, %s the %s mm it takes of %s mm of mild steel",
		length.Text(0), verb, longest.Text(0), tEq.Text(2))
	return fit
}

// FitsSegments asks the short bars: tEq <= T at any length, since each carries
// its own piece of the bend.
func FitsSegments(tEq unit.MM, r Rating) Fit {
	if tEq > r.T*nominal {
		return Fit{false, fmt.Sprintf("counts as %s mm of mild steel, over the %s mm the short bars take",
			tEq.Text(2), r.T.Text(2))}
	}
	return Fit{true, fmt.Sprintf("counts as %s mm of mild steel, within the %s mm the short bars take",
		tEq.Text(2), r.T.Text(2))}
}
