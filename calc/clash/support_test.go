package clash

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
)

// noseOf is how far behind the hinge the nose of a bar stands on a bench.
func noseOf(b *Bench, bar brake.Bar) float64 {
	low, _ := geom.Bounds(b.Bar(bar)...)
	return low.X
}

// By hand, at t = r = 1 and a bend of 90 degrees: the outside of the leg begins on
// the hinge, and its flat ends one outside setback, 2 mm, before the next bend.
func TestSupportByHand(t *testing.T) {
	k := suiteBrake(t)
	blank := develop(t, []byte(`{"number":"S","material":"mild-steel","thickness":1,"inside_radius":1,
		"profile":{"length":200,"legs":[30,41,60],"bends":[90,-90]}}`))
	b := NewBench(Setting{Blank: blank, Brake: k, Joints: []int{0}, Side: 1})
	nose, depth := noseOf(b, k.Bars[wide]), float64(k.Bars[wide].Depth)
	whole := Stretch{High: 200}
	for _, test := range []struct {
		what string
		made fold.Made
		want float64
	}{
		{"the next bend made: its leg alone", fold.Made(0).With(1), 41 - 2 - nose},
		{"the next bend not made: all of the bar's depth", 0, depth},
		{"its own bend made or not is the same", fold.All(2), 41 - 2 - nose},
	} {
		if got := b.Support(test.made, wide, whole, math.Inf(1)); math.Abs(got-test.want) > 1e-6 {
			t.Errorf("%s: %v, want %v", test.what, got, test.want)
		}
	}
	if got := b.Support(0, wide, Stretch{Low: 300, High: 320}, math.Inf(1)); !math.IsInf(got, -1) {
		t.Errorf("beside the sheet: %v", got)
	}
}

// A window in the sheet bears nothing: what counts is metal within the depth of
// the bar, 74 here. The base is 150 deep; the window begins 20 behind the bend.
func TestSupportBesideOpenings(t *testing.T) {
	k := suiteBrake(t)
	blank := develop(t, []byte(`{"number":"W","material":"mild-steel","thickness":1,"inside_radius":1,
		"profile":{"length":200,"legs":[30,150],"bends":[90]},
		"cutouts":[{"face":"p1","outline":[[5,20],[95,20],[95,140],[5,140]]}]}`))
	b := NewBench(Setting{Blank: blank, Brake: k, Joints: []int{0}, Side: 1})
	left, right := Stretch{High: 100}, Stretch{Low: 100, High: 200}
	over, beside := b.Support(0, 0, left, math.Inf(1)), b.Support(0, 0, right, math.Inf(1))
	if over > beside {
		over, beside = beside, over // the brake may see the blank from its other end
	}
	if depth := float64(k.Bars[0].Depth); over > 25 || over < 10 || beside != depth {
		t.Errorf("over the window %v, beside it %v, want about 20 and %v", over, beside, depth)
	}
}

// For trays and profiles drawn at random, with some bends made, the flat metal
// under a bar is what can be reached over the blank, painted cell by cell from
// the bend without crossing a made one.
func TestSupportAgainstPainting(t *testing.T) {
	k := suiteBrake(t)
	rapid.Check(t, func(t *rapid.T) {
		blank := developAny(t)
		joints := []int{rapid.IntRange(0, len(blank.Joints)-1).Draw(t, "bend")}
		made := fold.Made(rapid.Uint64().Draw(t, "made")) & fold.All(len(blank.Joints))
		b := NewBench(Setting{Blank: blank, Brake: k, Joints: joints, Side: rapid.IntRange(0, 1).Draw(t, "side")})
		bar := rapid.IntRange(0, len(k.Bars)-1).Draw(t, "bar")
		nose, depth := noseOf(b, k.Bars[bar]), float64(k.Bars[bar].Depth)
		half := float64(b.Length) / 2
		for _, s := range []Stretch{{High: half}, {Low: half, High: 2 * half}} {
			got := b.Support(made, bar, s, math.Inf(1))
			if want := painted(blank, joints, b, made, s, nose, depth); math.Abs(got-want) > 3*cell {
				t.Fatalf("bend %s, clamping %s, made %b, %v: %v, painted %v",
					blank.Joints[joints[0]].ID, blank.Faces[b.Root()].ID, made, s, got, want)
			}
		}
	})
}

// developAny draws a profile or a tray of a few bends.
func developAny(t *rapid.T) *flat.Blank {
	angle := rapid.SampledFrom([]int{90, -90, 45, -60, 110})
	leg := rapid.IntRange(14, 90)
	shape := ""
	if rapid.Bool().Draw(t, "tray") {
		walls := ""
		for _, side := range []string{"left", "right", "front", "back"} {
			if walls != "" {
				walls += ","
			}
			walls += fmt.Sprintf(`"%s":[{"leg":%d},{"leg":%d,"angle":%d}]`, side, leg.Draw(t, "leg"), rapid.IntRange(9, 14).Draw(t, "lip"), angle.Draw(t, "angle"))
		}
		shape = fmt.Sprintf(`"tray":{"base":[%d,%d],"walls":{%s}}`, rapid.IntRange(60, 150).Draw(t, "x"), rapid.IntRange(60, 150).Draw(t, "y"), walls)
	} else {
		shape = fmt.Sprintf(`"profile":{"length":80,"legs":[%d,%d,%d,%d],"bends":[%d,%d,%d]}`,
			leg.Draw(t, "leg"), leg.Draw(t, "leg"), leg.Draw(t, "leg"), leg.Draw(t, "leg"), angle.Draw(t, "angle"), angle.Draw(t, "angle"), angle.Draw(t, "angle"))
	}
	b, err := tryDevelop([]byte(`{"number":"R","material":"mild-steel","thickness":1,"inside_radius":1,` + shape + `}`))
	if err != nil {
		t.Skip(err)
	}
	return b
}

// cell is the side of a painted cell, in millimetres.
const cell = 0.5

// painted is the oracle of Support: it knows only the outline of the blank and
// its bend lines.
func painted(blank *flat.Blank, joints []int, b *Bench, made fold.Made, s Stretch, nose, depth float64) float64 {
	wide, high := int(float64(blank.Width)/cell)+1, int(float64(blank.Height)/cell)+1
	metal := make([]bool, wide*high)
	at := func(i int) geom.Point2 {
		return geom.Point2{X: (float64(i%wide) + 0.5) * cell, Y: (float64(i/wide) + 0.5) * cell}
	}
	for row := range high {
		fillRow(metal[row*wide:(row+1)*wide], blank.Outline, (float64(row)+0.5)*cell)
	}
	var barred []flat.Joint
	for i, j := range blank.Joints {
		if made.Has(i) || slices.Contains(joints, i) {
			barred = append(barred, j)
		}
	}
	for i := range metal {
		for _, j := range barred {
			metal[i] = metal[i] && !inZone(j, at(i))
		}
	}
	seeds := b.NoseLine(0) // the hinge; its direction gives that of the brake
	along := seeds[1].Sub(seeds[0]).Unit()
	back := behind(b, seeds)
	var next []int
	for _, j := range joints {
		line := blank.Joints[j].Line
		for k := range 40 {
			p := line[0].Add(line[1].Sub(line[0]).Times((float64(k) + 0.5) / 40)).Add(back.Times(blank.Joints[j].Half() + 1.5*cell))
			next = append(next, int(p.Y/cell)*wide+int(p.X/cell))
		}
	}
	far := math.Inf(-1)
	for len(next) > 0 {
		i := next[len(next)-1]
		next = next[:len(next)-1]
		if i < 0 || i >= len(metal) || !metal[i] {
			continue
		}
		metal[i] = false
		p := at(i).Sub(seeds[0])
		if x, y := p.Dot(along), p.Dot(back); x > s.Low && x < s.High && y < nose+depth {
			far = max(far, y-nose)
		}
		if i%wide > 0 {
			next = append(next, i-1)
		}
		if i%wide < wide-1 {
			next = append(next, i+1)
		}
		next = append(next, i-wide, i+wide)
	}
	return far
}

// behind points from the hinge to the back of the brake, in the blank.
func behind(b *Bench, hinge [2]geom.Point2) geom.Point2 {
	return b.NoseLine(1)[0].Sub(hinge[0]).Unit()
}

// fillRow marks the cells of a row that lie in the outline, by even and odd.
func fillRow(row []bool, rings []geom.Polygon, y float64) {
	var cuts []float64
	for _, g := range rings {
		p := g[len(g)-1]
		for _, q := range g {
			if (p.Y > y) != (q.Y > y) {
				cuts = append(cuts, p.X+(q.X-p.X)*(y-p.Y)/(q.Y-p.Y))
			}
			p = q
		}
	}
	slices.Sort(cuts)
	for k := 0; k+1 < len(cuts); k += 2 {
		for i := range row {
			if x := (float64(i) + 0.5) * cell; x > cuts[k] && x < cuts[k+1] {
				row[i] = true
			}
		}
	}
}

// inZone reports whether a point lies in the bend zone of a joint.
func inZone(j flat.Joint, p geom.Point2) bool {
	along := j.Line[1].Sub(j.Line[0])
	from := p.Sub(j.Line[0])
	share := from.Dot(along) / along.Dot(along)
	return math.Abs(from.Dot(j.Across)) < max(j.Half(), 1.2*cell) && share > -0.01 && share < 1.01
}
