package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// drawnFlat is a part as its blank.
func drawnFlat(p part.Part, b *flat.Blank, move func(geom.Point2) geom.Point2) part.Part {
	at := func(q geom.Point2) [2]unit.MM {
		q = move(q)
		return [2]unit.MM{unit.MM(q.X), unit.MM(q.Y)}
	}
	out := part.Part{Number: p.Number, Title: p.Title, Revision: p.Revision, Material: p.Material, Thickness: p.Thickness, Gauge: p.Gauge, InsideRadius: p.InsideRadius,
		K: p.K, Over90: p.Over90, Tolerance: p.Tolerance, Grain: p.Grain, MarkedFace: p.MarkedFace, Sizes: p.Sizes, Flat: &part.Flat{}}
	for _, f := range b.Faces {
		for i, g := range f.Pieces {
			id := f.ID
			if i > 0 {
				id = fmt.Sprintf("%s.piece%d", f.ID, i)
				out.Flat.Joined = append(out.Flat.Joined, [2]string{f.ID, id})
			}
			face, last := part.Face{ID: id}, geom.Point2{}
			last = g[len(g)-1]
			for _, q := range g {
				if last.Sub(q).Length() < 0.01 {
					continue
				}
				last = q
				face.Outline = append(face.Outline, at(q))
			}
			out.Flat.Faces = append(out.Flat.Faces, face)
		}
	}
	for _, j := range b.Joints {
		out.Flat.Bends = append(out.Flat.Bends, part.FlatBend{ID: j.ID, Between: [2]string{b.Faces[j.Faces[0]].ID, b.Faces[j.Faces[1]].ID},
			Line: [2][2]unit.MM{at(j.Line[0]), at(j.Line[1])}, Angle: j.Angle, Radius: j.Bend.Radius, Hem: j.Hem})
		if j.Hem != "" {
			out.Flat.Bends[len(out.Flat.Bends)-1].Radius = 0
		}
	}
	return out
}

func TestHairExplore(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, file := range partFiles(t) {
		if only := os.Getenv("ONLY"); only != "" && !strings.Contains(file, only) {
			continue
		}
		p, err := readPart(file)
		if err != nil {
			t.Fatal(err)
		}
		brake := ""
		if strings.Contains(file, "suite") {
			brake = "../../testdata/suite/brake.json"
		}
		if strings.Contains(file, "round") {
			brake = "../../testdata/brakes/round.json"
		}
		k, err := readBrake(brake)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := calc.Work(p, k, calc.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var shop calc.Shop
		b, err := shop.Develop(p)
		if err != nil {
			t.Fatal(err)
		}
		say := func(p *calc.Plan) string {
			s := fmt.Sprintf("%v %.4f %d proven %v", p.Feasible, p.Minutes, len(p.Steps), p.ProvenCheapest)
			if os.Getenv("STEPS") != "" {
				for _, st := range p.Steps {
					s += fmt.Sprintf("\n   %v %s %s %v %s clamped %s %s slide %s", st.Bends, st.Bar.Name, segs(st.Segments), st.Leaf, st.Place, st.Clamped, st.FaceUp, st.SlideOut)
				}
				for _, bl := range p.Blocked {
					s += fmt.Sprintf("\n   %v %v", bl.Bends, bl.Why)
				}
			}
			return s
		}
		t.Logf("%s: %s", file, say(plan))
		n := 4
		if len(b.Joints) > 8 {
			n = 2
		}
		for i := range n {
			by := 0.002
			if i == 0 {
				by = 0
			}
			q := drawnFlat(p, b, func(q geom.Point2) geom.Point2 {
				return geom.Point2{X: q.X + by*(2*r.Float64()-1), Y: q.Y + by*(2*r.Float64()-1)}
			})
			again, err := calc.Work(q, k, calc.Options{})
			if err != nil {
				t.Errorf("%v: %v", by, err)
				continue
			}
			if say(again) != say(plan) {
				t.Errorf("  moved by %v: %s", by, say(again))
			}
		}
	}
}

func segs(s []calc.Segment) string {
	out := ""
	for _, g := range s {
		out += fmt.Sprintf("+%v", g.Width)
	}
	return out
}
