package fitting

import (
	"fmt"
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// run tries everything that fits between the part and the brake.
func (t *trial) run() {
	if t.sizes() && t.contact() {
		t.tryBars()
	}
}

// tryBars tries every bar with either leaf.
func (t *trial) tryBars() {
	t.wipe(len(t.Plan.Blank.Faces), len(t.Plan.Brake.Bars))
	for f := range t.faces {
		switch {
		case t.measured != nil:
			t.faces[f] = t.bench.Measure(f, t.made, t.tools[0], t.measured, &t.nearest)
		case t.exact:
			t.faces[f] = t.bench.Answer(f, t.made)
		default:
			t.faces[f] = t.bench.Kept(f, t.bench.Class(f, t.made))
		}
	}
	if t.wordy {
		t.weakBars()
	}
	for _, leaf := range []brake.Slimness{brake.Full, brake.Slim} {
		if !t.leafHolds(leaf) {
			continue
		}
		for _, bar := range t.tools {
			t.tryBar(leaf, bar)
		}
	}
}

// leastHem is how far the leaf must turn the edge of a hem up: opened less than
// this, the bar would buckle it instead of folding it (common practice, no
// source).
const leastHem unit.Deg = 110

// sizes asks what does not depend on bars: the leaf's reach, the flange that
// swings and the strip that is clamped.
func (t *trial) sizes() bool {
	k := t.Plan.Brake
	_, swinging := t.bench.Across()
	clamped := t.bench.Held(t.made, k.LeastClampedStrip)
	flange := swinging + t.bend.OutsideSetback()
	switch {
	case t.isHem() && t.bend.Angle < leastHem:
		t.because(AtHem, "", "the leaf turns the edge up by %s degrees only, a hem needs %s before it can be flattened",
			t.bend.Angle.Text(1), leastHem.Text(0))
	case t.stop > k.Leaf.MaxAngle:
		t.because(TooFar, "", "the stop at %s degrees is beyond the %s the leaf reaches%s", t.stop.Text(1), k.Leaf.MaxAngle.Text(1),
			upTo("enough", k.Leaf.MaxAngle, t.stop-t.bend.Angle))
	case t.bench.Length > k.UsableLength:
		t.because(TooLong, "", "the bend is %s mm long, the brake takes %s", t.bench.Length.Text(1), k.UsableLength.Text(1))
	case flange < t.bend.LeastFlange()-hair:
		t.because(TooShort, "", "the flange that swings is %s mm, too short for the leaf to turn; %s or more is needed",
			flange.Text(1), t.bend.LeastFlange().Text(1))
	case clamped < k.LeastClampedStrip-hair:
		t.because(TooShort, "", "only %s mm would lie under the bar, %s or more is needed", clamped.Text(1), k.LeastClampedStrip.Text(1))
	default:
		return true
	}
	return false
}

// contact asks whether the part runs into itself.
func (t *trial) contact() bool {
	faces := t.Plan.Blank.Faces
	for i := range faces {
		if !t.bench.Swings(i) {
			continue
		}
		for j := range faces {
			if t.bench.Swings(j) {
				continue
			}
			if t.bench.Meet(i, j, t.made) {
				if t.wordy {
					t.because(InItself, "", "%s runs into %s at %s degrees", faces[i].Word, faces[j].Word, t.bench.MeetAt(i, j, t.made).Text(0))
				}
				return false
			}
		}
	}
	return !t.isHem() || t.laysOver()
}

// weakBars words why the other bars are out of the question.
func (t *trial) weakBars() {
	for _, bar := range t.Plan.Brake.Bars {
		if cause, why := t.weak(bar, t.bench.Joints[0], t.bench.Length); why != "" {
			t.because(cause, BarName(&bar), "%s", why)
		}
	}
}

// tryBar tries a bar at every place along the brake and keeps the cheapest; of
// equals the first, since the places come in order of preference.
func (t *trial) tryBar(leaf brake.Slimness, index int) {
	bar := &t.Plan.Brake.Bars[index]
	if !t.bench.LeafPasses(index, leaf) {
		t.because(TooFar, BarName(bar), "%s", t.squeezed(leaf, index))
		return
	}
	found, cheapest := len(t.ways), math.Inf(1)
	for _, place := range process.Places {
		if place != process.Middle && cheapest <= t.Plan.Brake.Minutes.PartAtEnd {
			return // hanging past an end costs no less
		}
		t.trying = way{bar: index, leaf: leaf, place: place}
		if !t.fits(&t.trying, bar) || t.isHem() && !t.pressed(&t.trying, bar) {
			continue
		}
		if price := t.placing(&t.trying); price < cheapest-tiny {
			t.ways, cheapest = append(t.ways[:found], t.trying), price
		}
	}
}

// squeezed words that the leaf does not get past a bar, and how far it would.
func (t *trial) squeezed(leaf brake.Slimness, bar int) string {
	if !t.wordy {
		return ""
	}
	return fmt.Sprintf("on the way to the stop at %s degrees the %s and the metal on it run into it%s", t.stop.Text(1), LeafName(leaf),
		upTo("there is room", t.bench.MostStop(bar, leaf), t.stop-t.bend.Angle))
}
