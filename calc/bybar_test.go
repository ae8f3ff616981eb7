package calc_test

import (
	"os"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/part"
)

// The blank is open only where what a bar does is known to differ: by a radius or a
// trial strip of one bar, by a tube of the drawn radius, or by bars of which none
// leaves it. What is pinned in the part file, or holds for another sheet or bar,
// leaves it closed.
func TestBlankByBar(t *testing.T) {
	const (
		square  = `{"number":"A","material":"mild-steel","thickness":1.5,"profile":{"length":200,"legs":[34,60],"bends":[90]}}`
		drawn   = `{"number":"A","material":"mild-steel","thickness":1.5,"inside_radius":1.5,"profile":{"length":200,"legs":[34,60],"bends":[90]}}`
		pinned  = `{"number":"A","material":"mild-steel","thickness":1.5,"inside_radius":1.5,"k":0.4,"profile":{"length":200,"legs":[34,60],"bends":[90]}}`
		rounded = `{"number":"A","material":"mild-steel","thickness":0.9,"inside_radius":15,"profile":{"length":200,"legs":[60,90],"bends":[90]}}`
		radius  = `{"radii":[{"bar":"wide","radius":2.5}]}`
		strip   = `{"calibrations":[{"material":"mild-steel","thickness":1.5,"radius":[1,2],"bar":"wide","k":0.42,"source":"trial strip"}]}`
		for304  = `{"calibrations":[{"material":"304","thickness":1.5,"radius":[1,2],"bar":"wide","k":0.42,"source":"trial strip"}]}`
		any     = `{"calibrations":[{"material":"mild-steel","thickness":1.5,"radius":[1,2],"k":0.42,"source":"trial strip"}]}`
		absent  = `{"radii":[{"bar":"a bar of another brake","radius":2.5}]}`
	)
	for _, c := range []struct {
		name, part, shop, brake string
		want                    bool
	}{
		{"nothing known", square, `{}`, "../cmd/brakeside/shop/brake.json", false},
		{"a radius of one bar", square, radius, "../cmd/brakeside/shop/brake.json", true},
		{"a radius of no bar here", square, absent, "../cmd/brakeside/shop/brake.json", false},
		{"a strip of one bar", drawn, strip, "../cmd/brakeside/shop/brake.json", true},
		{"a strip of any bar", drawn, any, "../cmd/brakeside/shop/brake.json", false},
		{"a strip of other sheet", drawn, for304, "../cmd/brakeside/shop/brake.json", false},
		{"a pinned K-factor", pinned, strip, "../cmd/brakeside/shop/brake.json", false},
		{"a radius that no bar here leaves", rounded, `{}`, "../cmd/brakeside/shop/brake.json", true},
		{"a radius a tube makes", rounded, `{}`, "../testdata/brakes/round.json", true},
		{"a square part beside a tube", square, `{}`, "../testdata/brakes/round.json", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := part.Read([]byte(c.part))
			if err != nil {
				t.Fatal(err)
			}
			shop, err := figures.ReadShop([]byte(c.shop))
			if err != nil {
				t.Fatal(err)
			}
			file, err := os.ReadFile(c.brake)
			if err != nil {
				t.Fatal(err)
			}
			k, err := brake.Read(file)
			if err != nil {
				t.Fatal(err)
			}
			if got, err := calc.BlankByBar(p, k, shop); err != nil || got != c.want {
				t.Errorf("BlankByBar = %v, %v, want %v", got, err, c.want)
			}
		})
	}
}
