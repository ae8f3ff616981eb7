package fitting

import (
	"fmt"
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// trial looks for every way to make one bend with one side clamped once other
// bends have been made.
type trial struct {
	*fixed
	op    int
	side  int
	bench *clash.Bench
	made  fold.Made
	bend  bend.Bend
	stop  unit.Deg // as a bend angle
	ways  []way

	trying way
	gauged *bool // whether it is gauged from another bend, once known

	desk

	tools    []int        // the bars to try
	exact    bool         // the answers are those of this very set of bends
	measured *clash.Lying // how near things come is wanted too, where the one bar lies
	wordy    bool         // reasons are worded; only when somebody asks
	reasons  []order.Reason
	picture  *process.Picture // of the first thing found in the way, when somebody asks why
}

// because notes why a way is not possible: the cause, the bar or leaf it speaks of, if
// any, and the words.
func (t *trial) because(cause, tool, format string, values ...any) {
	if t.wordy {
		reason := order.Reason{Bend: t.op, Side: t.side, Cause: cause, Tool: tool, Text: fmt.Sprintf(format, values...)}
		t.reasons = append(t.reasons, reason)
	}
}

// onBed, onLeaf and onBar give what all faces do to these bodies.
func (t *trial) onBed() *gathered { return t.on(clash.Bed) }

func (t *trial) onLeaf(form brake.Slimness) *gathered {
	if form == brake.Slim {
		return t.on(clash.SlimLeaf)
	}
	return t.on(clash.FullLeaf)
}

func (t *trial) onBar(bar int, q clash.Question) *gathered { return t.on(clash.OfBar(bar, q)) }

// on gathers what every face does to one element of the brake, once.
func (t *trial) on(e clash.Element) *gathered {
	if t.met[e] == nil {
		t.met[e] = t.gather(e)
	}
	return t.met[e]
}

// gather collects what every face does to one element of the brake.
func (t *trial) gather(e clash.Element) *gathered {
	d := &t.desk
	d.gathered = append(d.gathered, gathered{element: e, faces: d.faces, culprit: -1, least: math.Inf(1)})
	g := &d.gathered[len(d.gathered)-1]
	some, first := d.some[:0], (*clash.Span)(nil)
	for f, a := range d.faces {
		if t.measured == nil && !a.Blocks(e) {
			continue
		}
		r := a.Of(e)
		if r.Least < g.least {
			g.least, g.leastFace = r.Least, f
		}
		for i := range r.Blocked {
			b := &r.Blocked[i]
			some = clamp.Join(some, clamp.Span{Low: b.Low, High: b.High})
			if first == nil || b.Depth > first.Depth || b.Depth == first.Depth && b.Angle < first.Angle {
				g.culprit, first = f, b
			}
		}
	}
	if d.some = some; first != nil {
		from := len(d.spans)
		d.spans = append(d.spans, clamp.Merge(some)...)
		g.first, g.spans = *first, d.spans[from:len(d.spans):len(d.spans)]
	}
	return g
}
