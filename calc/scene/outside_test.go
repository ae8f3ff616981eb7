package scene

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/calc/figures"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/testdata/folding"
	"brakeside/testdata/robot"
)

// The pictures are held against a solid modeller that shares no code with us, the npm
// package manifold-3d: it builds flats and bends as solids, projects them and casts
// rays at them. Its answers stand in testdata/silhouettes/outlines.json;
// testdata/silhouettes/outlines.mjs makes them again from what -silhouettes writes.

var silhouettesFile = flag.String("silhouettes", "", "write solids and strokes of the pictures to this file")

const outsideOutlines = "../../testdata/silhouettes/outlines.json"

// pictured is one picture, with the solids of what it shows.
type pictured struct {
	Name    string           `json:"name"`
	Right   [3]float64       `json:"right"`
	Up      [3]float64       `json:"up"`
	Away    [3]float64       `json:"away"`
	Flats   [][][3]float64   `json:"flats"`
	Open    [][][3]float64   `json:"open"` // taken out of the flats
	Bends   []folding.Sector `json:"bends"`
	Strokes [][6]float64     `json:"strokes"` // from x, y, depth to x, y, depth
}

// picturedParts is how many parts are pictured: those of the project that have no hem,
// since a closed one has no room between its faces to be seen by, and invented ones.
const picturedParts = 60

type named struct {
	name  string
	blank *flat.Blank
}

// blanks are the parts that are pictured.
func blanks(t *testing.T) (out []named) {
	t.Helper()
	add := func(name string, text []byte) {
		p, err := part.Read(text)
		if err != nil {
			return // an invented one may be no part
		}
		plan, err := figures.Shop{}.Draft(p)
		if err == nil && !hemmed(plan.Blank) && len(out) < picturedParts {
			out = append(out, named{name, plan.Blank})
		}
	}
	for _, folder := range []string{"parts", "suite/parts", "cases"} {
		files, err := filepath.Glob("../../testdata/" + folder + "/*.json")
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			add(strings.TrimSuffix(filepath.Base(file), ".json"), text)
		}
	}
	r := rand.New(rand.NewPCG(21, 1))
	for i := 0; len(out) < picturedParts; i++ {
		add(fmt.Sprintf("invented %d", i), robot.Invent(r, i))
	}
	return out
}

func hemmed(b *flat.Blank) bool {
	for _, j := range b.Joints {
		if j.Hem != "" {
			return true
		}
	}
	return false
}

// pictures are the parts at every step, their bends made in the order of the file:
// each half made, as at the brake, then the finished part from three sides.
func pictures(t *testing.T) (out []pictured) {
	t.Helper()
	for _, n := range blanks(t) {
		b := n.blank
		for k, j := range b.Joints {
			s := settled(b, largest(b), fold.All(k))
			s.shares[k] = min(0.5, float64(mostRaised)/math.Abs(float64(j.Angle)))
			out = append(out, picturedAs(t, fmt.Sprintf("%s, bend %d of %d", n.name, k+1, len(b.Joints)), shoulder(), s))
		}
		for i, c := range []camera{sides()[0], sides()[2], above()} {
			out = append(out, picturedAs(t, fmt.Sprintf("%s, finished, side %d", n.name, i), c, settled(b, largest(b), fold.All(len(b.Joints)))))
		}
	}
	return out
}

func picturedAs(t *testing.T, name string, c camera, s *stage) pictured {
	t.Helper()
	out := pictured{Name: name, Right: folding.Figures(c.right), Up: folding.Figures(c.up), Away: folding.Figures(c.away), Open: [][][3]float64{}, Bends: []folding.Sector{}}
	frames, thick := s.tree.PlaceAt(func(joint int) float64 { return s.shares[joint] }), float64(s.blank.Sheet.Thickness)
	for i, f := range s.blank.Faces {
		for _, g := range f.Solid {
			out.Flats = append(out.Flats, folding.Corners(geom.Placed(geom.Prism(g, 0, thick), frames[i])))
		}
		for _, o := range f.Openings {
			pieces, ok := geom.Pieces(o.Outline)
			if !ok {
				t.Fatalf("%s: an opening of no area", name)
			}
			for _, g := range pieces {
				out.Open = append(out.Open, folding.Corners(geom.Placed(geom.Prism(g, -thick, 2*thick), frames[i])))
			}
		}
	}
	for i, j := range s.blank.Joints {
		stays, across := j.Faces[0], j.Across
		if s.tree.Up[stays] == j.Faces[1] {
			stays, across = j.Faces[1], across.Times(-1)
		}
		if s.shares[i] > 0 {
			bent := folding.Partly(j, across, frames[stays], s.shares[i])
			bent.Chords = 16
			out.Bends = append(out.Bends, bent)
			continue
		}
		for _, body := range fold.Zone(j, across, false) {
			out.Flats = append(out.Flats, folding.Corners(geom.Placed(body, frames[stays])))
		}
	}
	m := (&scene{camera: c}).add(s, real(s.blank))
	m.close()
	out.Strokes = m.inSpace()
	return out
}

// inSpace gives what is seen of a scene, with how far away it is.
func (c *scene) inSpace() (out [][6]float64) {
	scale := c.scale()
	for _, v := range c.visible() {
		if !v.drawn(scale) {
			continue
		}
		l, _ := c.sightOf(v.segment)
		run := l.to.Sub(l.from)
		var stroke [6]float64
		for i, p := range v.at {
			share := run.Dot(p.Sub(l.from)) / run.Dot(run)
			stroke[3*i], stroke[3*i+1], stroke[3*i+2] = hundredth(p.X), hundredth(p.Y), hundredth(l.depthA+(l.depthB-l.depthA)*share)
		}
		out = append(out, stroke)
	}
	return out
}

func hundredth(v float64) float64 { return math.Round(v*1e2)/1e2 + 0 }

// The outline that the modeller finds is drawn, within 0.3 mm at the part's own size;
// no stroke lies outside it, and nothing stands before one.
func TestOutlinesAgainstOutsideSolidModeller(t *testing.T) {
	asked := pictures(t)
	digest := folding.Digest(t, asked)
	if *silhouettesFile != "" {
		folding.Write(t, *silhouettesFile, map[string]any{"digest": digest, "pictures": asked})
		return
	}
	var recorded struct {
		Digest           string
		Pictures, Places int
		Undrawn, Outside float64 // the farthest of an outline from a stroke, and of a stroke from the solids, in mm
		Covered          int     // places on strokes before which something stands
	}
	kept, err := os.ReadFile(outsideOutlines)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(kept, &recorded); err != nil {
		t.Fatal(err)
	}
	if recorded.Digest != digest || recorded.Pictures != len(asked) {
		t.Fatalf("the recorded answers are of the pictures %s, these are %s; make them again as testdata/silhouettes/outlines.mjs says", recorded.Digest, digest)
	}
	if recorded.Undrawn > 0.3 || recorded.Outside > 0.3 || recorded.Covered > 0 || recorded.Places < 10000 {
		t.Errorf("%+v", recorded)
	}
}
