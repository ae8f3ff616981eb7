package bend

import (
	"testing"

	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// reckoned is all that is worked out of one bend before it is planned.
type reckoned struct {
	bend      Bend
	rule      string
	deduction unit.MM
	flange    unit.MM
	hole      unit.MM
	expected  Expected
	least     stock.LeastRadius
	tightness stock.Tightness
	hold      Hold
	stop      unit.Deg
}

// reckonPart works out a strip of so many bends: the blank with its running
// bend lines, rounded from the exact sums, its mass, and everything of each bend.
func reckonPart(p Practice, s stock.Sheet, bends []Making) (lines []unit.Micron, mass unit.KG, out []reckoned) {
	const leg unit.MM = 40
	lines, out = make([]unit.Micron, 0, len(bends)), make([]reckoned, 0, len(bends))
	at := unit.MM(0)
	for i, m := range bends {
		r := reckoned{}
		r.bend, r.rule = p.Reckon(m)
		r.deduction, r.flange, r.hole = r.bend.Deduction(), r.bend.LeastFlange(), r.bend.LeastHoleDistance()
		r.expected = p.Expect(m)
		r.least, _ = s.LeastRadius(m.Bend.Angle, stock.UnknownRun)
		r.tightness = r.least.Judge(m.Bend.Radius)
		r.stop = m.Bend.Angle + r.expected.Degrees
		r.hold = Clamped{Strength: s.Material.Strength, Thickness: s.Thickness, Lever: leg, Depth: 74, Pressure: 0.35, Margin: 2}.Hold()
		at += leg - r.bend.OutsideSetback()
		if i > 0 {
			at -= bends[i-1].Bend.OutsideSetback()
		}
		lines = append(lines, (at + r.bend.Allowance()/2).Micron())
		at += r.bend.Allowance()
		out = append(out, r)
	}
	return lines, s.Mass(unit.MM2(500 * at)), out
}

// twelve is a part of twelve bends in a shop that has measured something.
func twelve(t testing.TB) (Practice, stock.Sheet, []Making) {
	s := sheet(t, "304", 1.2)
	var bends []Making
	for i := range 12 {
		angle := unit.Deg([]float64{90, 45, 120, 90}[i%4])
		bends = append(bends, Making{Sheet: s, Bend: Bend{Angle: angle, Radius: 1.8, Thickness: 1.2}, Tool: Tool{Bar: []string{"wide", "narrow"}[i%2]}})
	}
	return Practice{Calibrations: []Calibration{measured, {Material: "304", Thickness: 1.2, Radius: [2]unit.MM{1, 2}, Bar: "narrow", K: 0.4}}}, s, bends
}

// The whole arithmetic of a part of twelve bends, planning left out; the aim is
// under 20 microseconds.
func BenchmarkTwelveBends(b *testing.B) {
	p, s, bends := twelve(b)
	b.ReportAllocs()
	for b.Loop() {
		reckonPart(p, s, bends)
	}
}

// What the benchmark works out is a part: its lines rise, a bend of half the
// angle lies between, and both bars are told apart.
func TestTwelveBends(t *testing.T) {
	p, s, bends := twelve(t)
	lines, mass, out := reckonPart(p, s, bends)
	for i := 1; i < len(lines); i++ {
		if lines[i] <= lines[i-1] {
			t.Errorf("bend line %d at %v is not behind that at %v", i, lines[i], lines[i-1])
		}
	}
	if out[0].bend.K == out[1].bend.K || out[1].bend.K != 0.4 || out[0].rule == out[1].rule {
		t.Errorf("bars are not told apart: %+v, %+v", out[0], out[1])
	}
	if !(mass > 1 && mass < 3) || !(out[1].stop > 45 && out[1].stop < 50) {
		t.Errorf("mass %v kg, stop %v", mass, out[1].stop)
	}
}
