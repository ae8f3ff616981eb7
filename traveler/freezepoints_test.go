package traveler

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"brakeside/calc/geom"
)

// Where a processor rounds otherwise in the last bits, an outline may begin at another
// corner, and have corners more or fewer on its straight sides: it is frozen alike.
func TestOutlineIsFrozenAlike(t *testing.T) {
	want := []Point{{0, 2_700}, {1_200, 2_700}, {1_500, 50_000}, {1_200, 111_211}, {0, 111_211}}
	rapid.Check(t, func(t *rapid.T) {
		noise := rapid.Float64Range(-1e-10, 1e-10)
		var g geom.Polygon
		for i, p := range want {
			q := want[(i+1)%len(want)]
			a := geom.Point2{X: float64(p.X) / 1000, Y: float64(p.Y) / 1000}
			along := geom.Point2{X: float64(q.X) / 1000, Y: float64(q.Y) / 1000}.Sub(a)
			shares := rapid.SliceOfN(rapid.SampledFrom([]float64{0, 0.25, 0.5, 1}), 0, 3).Draw(t, "shares")
			slices.Sort(shares)
			for _, share := range append([]float64{0}, shares...) {
				on := a.Add(along.Times(share))
				g = append(g, geom.Point2{X: on.X + noise.Draw(t, "x"), Y: on.Y + noise.Draw(t, "y")})
			}
		}
		from := rapid.IntRange(0, len(g)-1).Draw(t, "from")
		if diff := cmp.Diff(want, frozenOutline(slices.Concat(g[from:], g[:from]))); diff != "" {
			t.Fatalf("%v from corner %d (-want +got):\n%s", g, from, diff)
		}
	})
}
