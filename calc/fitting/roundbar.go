package fitting

import (
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/process"
)

// RoundMatch is by what share the inside radius a round bar makes may differ
// from that of the drawing (common practice, no source).
const RoundMatch = 0.05

// Formers finds the bends that a round bar of the brake makes: those drawn with
// the radius it leaves after springback, or with its own.
func Formers(b *flat.Blank, k *brake.Brake) map[string]bend.Tool {
	out := map[string]bend.Tool{}
	for i, j := range b.Joints {
		if j.Hem != part.NoHem {
			continue
		}
		drawn := float64(j.Bend.Radius)
		closest := math.Inf(1)
		for _, bar := range k.Bars {
			if bar.Kind != brake.Round {
				continue
			}
			made := b.Made(i)
			made.Tool = process.ToolOf(bar)
			finished, _ := b.Making.Practice.Reckon(made)
			off := math.Abs(float64(finished.Radius) - drawn)
			own := math.Abs(float64(bar.OutsideRadius) - drawn)
			if min(off, own) <= RoundMatch*drawn && off < closest-tiny {
				closest, out[j.ID] = off, made.Tool
			}
		}
	}
	return out
}

// NotOver tells why the bends that a round bar would make are not made over it, by
// bend.
func (s *Station) NotOver() map[string]string {
	out := map[string]string{}
	for op, joints := range s.Operations {
		for i, bar := range s.Plan.Brake.Bars {
			b := s.Plan.Bends[joints[0]]
			if b.Former == 0 || process.ToolOf(bar).Former != b.Former {
				continue
			}
			_, why := s.weak(bar, joints[0], s.benches[op][0].Length)
			if why == "" {
				why = "cannot stand there"
			}
			out[b.ID] = BarName(&s.Plan.Brake.Bars[i]) + ": " + why
		}
	}
	return out
}
