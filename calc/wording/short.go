package wording

import (
	"fmt"
	"slices"
	"strings"

	"brakeside/calc/part"
	"brakeside/calc/process"
)

// Short is a plan in the words of one line, to set beside that of the same part
// on another brake.
type Short struct {
	RadiusTrue bool
	Radius     string   // as drawn, or what comes out instead
	Cautions   []string // each once, those of the part first
	No         string   // why the part cannot be bent, in plain words; empty where it can
}

// InShort sums a plan up.
func InShort(p *process.Plan) Short {
	out := Short{RadiusTrue: true, Radius: "as drawn"}
	if wrong := otherRadii(p); wrong != nil {
		out.RadiusTrue, out.Radius = false, strings.Join(wrong, "; ")
	}
	for _, c := range slices.Concat(p.Office, p.Cautions) {
		out.Cautions = append(out.Cautions, c.Text())
	}
	for _, s := range p.Steps {
		for _, c := range s.Cautions {
			out.Cautions = append(out.Cautions, c.Text())
		}
	}
	out.Cautions = once(out.Cautions)
	if !p.Feasible {
		out.No = p.WhyNot()
	}
	return out
}

// once leaves out what was said before.
func once(words []string) []string {
	seen := map[string]bool{}
	var out []string
	for _, w := range words {
		if !seen[w] {
			seen[w] = true
			out = append(out, w)
		}
	}
	return out
}

// otherRadii words the inside radii that do not come out as drawn.
func otherRadii(p *process.Plan) []string {
	var out []string
	for i, j := range p.Blank.Joints {
		b, drawn := p.Bends[i], drawnRadius(p, i)
		switch {
		case j.Hem != part.NoHem:
		case madeOther(b, drawn):
			out = append(out, fmt.Sprintf("%s mm, drawn %s", b.Bend.Radius.Text(1), drawn.Text(1)))
		case madeByNoBar(b, drawn):
			out = append(out, fmt.Sprintf("no bar here makes %s mm", drawn.Text(1)))
		}
	}
	return once(out)
}
