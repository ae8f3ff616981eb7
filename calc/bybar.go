package calc

import (
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/process"
)

// BlankByBar reports whether the blank of a part depends on which bars of a brake
// bend it: by what the shop measured or settled under one of them, by a round bar
// that makes the drawn radius, or by a drawn radius that no bar leaves. Only then
// is the blank not known before the part is planned. It refuses what has no blank.
func BlankByBar(p part.Part, k *brake.Brake, shop figures.Shop) (bool, error) {
	before, err := shop.Develop(p)
	if err != nil || len(fitting.Formers(before, k)) > 0 {
		return err == nil, err
	}
	for _, bar := range k.Bars {
		if bar.Kind == brake.Round {
			continue // makes no bend of this part, as Formers says
		}
		tools := map[string]bend.Tool{}
		for _, j := range before.Joints {
			tools[j.ID] = process.ToolOf(bar)
		}
		// A blank that is refused under one bar only is another blank too.
		if under, err := shop.DevelopFor(p, tools); err != nil || !cutAlike(before, under) {
			return true, nil
		}
	}
	return false, nil
}

// cutAlike reports whether two blanks of one part use the same metal at every bend.
func cutAlike(a, b *flat.Blank) bool {
	for i := range a.Joints {
		if a.Joints[i].Bend != b.Joints[i].Bend {
			return false
		}
	}
	return true
}
