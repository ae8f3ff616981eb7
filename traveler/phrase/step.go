package phrase

import (
	"fmt"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// The two angles that a scale can show.
const (
	ReadsBend    = "bend"
	ReadsOpening = "opening"
)

// Target gives the angle of the finished bend. That of a hem is flattened away
// and has no tolerance.
func Target(s traveler.Step) string {
	if s.Flattening != nil {
		return "→ part " + Angle(s.Target)
	}
	return fmt.Sprintf("→ part %s ±%s", Angle(s.Target), s.Tolerance.Text(1))
}

// Opening gives the same angle as the opening between the flanges.
func Opening(s traveler.Step) string {
	return fmt.Sprintf("(opening %s)", Angle(OpeningOf(s.Target)))
}

// halfTurn is what a bend and its opening make together.
const halfTurn unit.CentiDeg = 18000

// OpeningOf is the opening that is printed beside a bend angle, or the bend beside
// an opening: the two make 180 as they are printed.
func OpeningOf(bend unit.CentiDeg) unit.CentiDeg { return halfTurn - bend.Tenths() }

// ScaleReads names which of the two angles the stop's scale shows.
func ScaleReads(reads string) string {
	if reads == ReadsOpening {
		return ReadsOpening
	}
	return ReadsBend
}

// Springback tells how far the metal springs back, and how that is known. With the
// angle of the part it makes the stop, as the three are printed.
func Springback(b traveler.Brake, s traveler.Step) string {
	stop := s.Stop - b.Zero
	if b.Reads == ReadsOpening {
		stop = halfTurn - stop.Tenths()
	}
	back := stop.Tenths() - s.Target.Tenths()
	if s.Stop == 0 || max(back-s.Springback, s.Springback-back) > 10 {
		back = s.Springback // the stop was set otherwise
	}
	words := "springback " + Angle(back)
	if s.StopFrom != "" {
		words += ": " + s.StopFrom
	}
	return words
}

// Bar names the bar with its fingers, the leaf where it is changed for some step, and the
// end of the brake that the part hangs past.
func Bar(s traveler.Step, leafChanges bool) string {
	words := s.Bar
	if len(s.Segments) > 0 {
		words += " " + Segments(s.Segments)
	}
	if leafChanges {
		words += ", " + Leaf(s.Leaf)
	}
	switch s.Place {
	case traveler.PastLeft:
		words += ", past the LEFT end"
	case traveler.PastRight:
		words += ", past the RIGHT end"
	}
	return words
}

// Gap tells how far it is from the end of the fingers to what stands there.
func Gap(in unit.System, g traveler.Gap) string { return in.Figure(g.Wide) + " to " + g.Face }

// Segments list the widths of fingers, left to right.
func Segments(segments []traveler.Segment) string {
	var widths []string
	for _, s := range segments {
		widths = append(widths, Number(float64(s.Width.MM())))
	}
	return strings.Join(widths, " + ")
}

// Leaf says whether the extension of the leaf is on.
func Leaf(leaf string) string { return "leaf extension " + Extension(leaf) }

// Extension is whether the extension of the leaf is on: "OFF" where it must come off.
func Extension(leaf string) string {
	if leaf == traveler.SlimLeaf {
		return "OFF"
	}
	return "on"
}

// Clamped tells which side of the part is clamped and which swings.
func Clamped(s traveler.Step) string { return strings.Join(Sides(s), ", ") }

// Sides tell the same in two.
func Sides(s traveler.Step) []string { return []string{"clamp " + s.Clamped, "swing " + s.Swinging} }

// Tight warns of a small clearance.
func Tight(in unit.System, s traveler.Step) string {
	return "TIGHT " + in.Sized(s.Clearance)
}

// Turns tell in order what is done to the part before a bend, in the same words on
// every medium: turned over, rotated, tipped.
func Turns(s traveler.Step) []string {
	var out []string
	if s.TurnOver {
		out = append(out, TurnOver(s))
	}
	if by := s.Turned(); by != 0 {
		out = append(out, Rotate(by))
	}
	if s.Tip {
		out = append(out, Tip(s))
	}
	return out
}

// TurnOver tells to turn the part over, and which face then lies up. Sheets of old
// do not say which way: about the line of the bend.
func TurnOver(s traveler.Step) string {
	over := s.Over
	if over == "" {
		over = "on the bend line"
	}
	return "TURN OVER " + over + ": face " + s.FaceUp + " up"
}

// Rotate tells to rotate the part on the bed, by more than -180 to 180 degrees
// anticlockwise, seen from above.
func Rotate(degrees int) string {
	switch {
	case degrees == 180:
		return "ROTATE 180"
	case degrees < 0:
		return fmt.Sprintf("ROTATE %d CLOCKWISE", -degrees)
	}
	return fmt.Sprintf("ROTATE %d ANTICLOCKWISE", degrees)
}

// Tip tells which face, standing up so far, is laid on the bed.
func Tip(s traveler.Step) string { return "TIP the part: " + s.Clamped + " lies on the bed" }

// ChangeBar tells to take another bar, or to set its fingers anew.
func ChangeBar(from, to traveler.Step) string {
	if from.Bar == to.Bar && len(to.Segments) > 0 {
		return "RESET " + to.Bar + " to " + Segments(to.Segments)
	}
	return "CHANGE BAR to " + to.Bar
}

// ChangeNose tells to set the nose of the bar anew.
func ChangeNose(in unit.System, to traveler.Step) string {
	words := "SET THE NOSE SETBACK anew: " + in.Figure(to.NoseSetback)
	if strip := Strip(in, to); strip != "" {
		words += ", " + strip
	}
	return words
}

// ChangeLeaf tells to take the leaf's extension off or to put it on.
func ChangeLeaf(to traveler.Step) string {
	if to.Leaf == traveler.SlimLeaf {
		return "TAKE THE LEAF EXTENSION OFF"
	}
	return "PUT THE LEAF EXTENSION ON"
}

// Packing tells of the strip, of the gauge of the part, that keeps a bar from
// rocking on a short leg: of this step, since after it nothing says to take it out.
func Packing(in unit.System, p traveler.Part) string {
	return "PACKING STRIP " + Thickness(in, p) + " under the back of the bar, this step only"
}

// SlideOut tells how a bar that is closed in comes out after the bend.
func SlideOut(side string) string {
	return "AFTER the bend slide the bar out to the " + strings.ToUpper(side)
}

// Place tells where along the brake the part is moved to.
func Place(place string) string {
	switch place {
	case traveler.PastLeft:
		return "MOVE the part past the LEFT end of the brake"
	case traveler.PastRight:
		return "MOVE the part past the RIGHT end of the brake"
	}
	return "MOVE the part back to the middle of the brake"
}

// Bookmark names a step in the outline of the file.
func Bookmark(s traveler.Step) string {
	return fmt.Sprintf("Step %d: bend %s, %s", s.Number, s.BendWord(), plainAngle(s.Target))
}
