package fitting

import (
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/clash"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// shortUnder is how many times as long as the bend a bar is that rests on packing
// at its ends (common practice, no source).
const shortUnder = 10.0

// restsOnPacking reports whether a bar in one piece is so much longer than the bend
// that it would tilt without packing.
func restsOnPacking(bar *brake.Bar, length unit.MM) bool {
	return bar.Kind != brake.Segments && bar.Length > shortUnder*length
}

// clampedUnder is one operation under a bar that a magnet holds down; all zero where
// none does. It is the same whatever bends are made before.
func clampedUnder(p *process.Plan, b *clash.Bench, bar *brake.Bar, leaf brake.Slimness) bend.Clamped {
	if p.Brake.Magnet.Pressure == 0 {
		return bend.Clamped{}
	}
	_, swinging := b.Across()
	sheet, share := p.Blank.Sheet, 1.0
	if restsOnPacking(bar, b.Length) {
		share = float64(bar.Length / b.Length)
	}
	return bend.Clamped{
		Strength: sheet.Material.Strength, Thickness: sheet.Thickness,
		Lever: min(swinging, p.Brake.Leaf.Face(leaf)), Depth: bar.Depth,
		Pressure: unit.MPa(p.Brake.Magnet.Pressure * sheet.Material.HoldShare()), Margin: p.Brake.Magnet.Margin, Share: share,
	}
}

// holds lists how a bench is held by each bar with the leaf's extension on and off.
func holds(p *process.Plan, b *clash.Bench) [][2]bend.HoldState {
	out := make([][2]bend.HoldState, len(p.Brake.Bars))
	if p.Brake.Magnet.Pressure == 0 {
		return out
	}
	for i := range p.Brake.Bars {
		for k, leaf := range forms {
			out[i][k] = clampedUnder(p, b, &p.Brake.Bars[i], leaf).Hold().State
		}
	}
	return out
}

// forms are the leaf with its extension on and off.
var forms = [...]brake.Slimness{brake.Full, brake.Slim}
