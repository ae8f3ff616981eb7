package flat_test

import (
	"fmt"
	"math"
	"testing"

	"brakeside/calc/flat"
	"brakeside/calc/part"
)

// star is a plate with a flange whose edge is a half circle of n corners that
// wave in and out: of all outlines the one with the most pieces.
func star(n int) drawn {
	corners := []float64{0, 50, 1000, 50}
	for i := range n - 2 {
		sin, cos := math.Sincos(math.Pi * (float64(i) + 0.5) / float64(n-2))
		r := 500 + 3*float64(i%2)
		corners = append(corners, 500+r*cos, 60+r*sin)
	}
	return drawn{
		faces: []string{rectangle("plate", 0, 0, 1000, 50), face("flange", corners...)},
		bends: []string{bendLine("b", "plate flange", 0, 50, 1000, 50)},
	}
}

func BenchmarkStar(b *testing.B) {
	for _, n := range []int{1000, part.MostVertices - 4} {
		p := readPart(b, star(n).text())
		s := sheet(b, 1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := flat.Develop(p, s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
