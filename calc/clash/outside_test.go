package clash

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"brakeside/calc/brake"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
	"brakeside/testdata/parts"
)

// Whether two bodies meet is checked against a solid modeller that shares no
// code with us: the npm package manifold-3d, which computes the volume that two
// solids have in common. Its answers stand in testdata/collisions/volumes.json
// with the versions they were made by; testdata/collisions/volumes.mjs makes
// them again from the cases that -cases writes.

var casesFile = flag.String("cases", "", "write the pairs of solids to this file")

const (
	outsideVolumes = "../../testdata/collisions/volumes.json"
	pairsWanted    = 2400
	touching       = 0.05 // pairs nearer to touching than this are left out
)

// pairOfSolids is one case: two convex bodies and what we say of them.
type pairOfSolids struct {
	A, B [][3]float64
	hit  bool
	near float64 // how far from touching, in millimetres
}

func corners(body []geom.Point3) [][3]float64 {
	var out [][3]float64
	for _, p := range body {
		out = append(out, [3]float64{p.X, p.Y, p.Z})
	}
	return out
}

// suiteBenches puts every bend of every part of the suite into the brake,
// clamped on either side.
func suiteBenches(t *testing.T) []*Bench {
	t.Helper()
	data, err := os.ReadFile("../../testdata/suite/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	k, err := brake.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("../../testdata/suite/parts/*.json")
	if err != nil || len(files) < 10 {
		t.Fatalf("found %d parts of the suite, %v", len(files), err)
	}
	var out []*Bench
	for _, f := range files {
		blank := parts.Develop(t, f)
		for j := range blank.Joints {
			for side := range 2 {
				out = append(out, NewBench(Setting{Blank: blank, Brake: k, Joints: []int{j}, Side: side, Overbend: 2, Bars: []int{0, 1, 2, 3}}))
			}
		}
	}
	return out
}

// outsideCases draws pairs of bodies at random states, angles and tooling, half
// of them hits as far as there are any.
func outsideCases(t *testing.T) (cases []pairOfSolids, leftOut int) {
	t.Helper()
	benches := suiteBenches(t)
	draw := rand.New(rand.NewPCG(20261125, 7))
	hits := 0
	for tries := 0; len(cases) < pairsWanted && tries < 400*pairsWanted; tries++ {
		b := benches[draw.IntN(len(benches))]
		c, ok := b.randomPair(draw)
		if !ok || !c.hit && len(cases)-hits > pairsWanted/2 {
			continue
		}
		if c.near < touching {
			leftOut++
			continue
		}
		if c.hit {
			hits++
		}
		cases = append(cases, c)
	}
	if hits < pairsWanted/4 {
		t.Fatalf("only %d of %d pairs are hits", hits, len(cases))
	}
	return append(cases, flushBrims(t, benches)...), leftOut
}

// flushBrims are the pairs that decide how many orders the suite's part P3 has.
// When one brim is bent last, held by itself, the other hangs down at the front of
// the bed. Sheet of no thickness would be flush with it; with the thickness and the
// radii of this one it stands 1.8 mm in the bed before the swing begins.
func flushBrims(t *testing.T, benches []*Bench) []pairOfSolids {
	t.Helper()
	var cases []pairOfSolids
	for _, b := range benches {
		held, far := b.Blank.Faces[b.Root()].ID, map[string]string{"p4": "p0", "p0": "p4"}
		if b.Blank.Part.Number != "P3" || far[held] == "" {
			continue
		}
		all := fold.All(len(b.Blank.Joints))
		bodies, _ := b.bodies(b.Blank.FaceIndex(far[held]), b.start(all))
		cases = append(cases, sectionPair(bodies[0], b.View(0, 0, 0).Bed, 0, float64(b.Length)))
	}
	if len(cases) != 2 || !cases[0].hit || !cases[1].hit || math.Abs(cases[0].near-1.76) > 0.01 {
		t.Errorf("the brims of P3: %+v, want two hits of 1.76 mm", cases)
	}
	return cases
}

// randomPair draws a set of made bends, an angle, a body of the part and a body
// it may meet.
func (b *Bench) randomPair(draw *rand.Rand) (pairOfSolids, bool) {
	made := fold.Made(draw.Uint64()) & fold.All(len(b.Blank.Joints))
	angle := unit.Deg(draw.Float64()) * b.Swept
	moved := func(face int) []geom.Point3 {
		bodies, _ := b.bodies(face, b.target(made))
		body := bodies[draw.IntN(len(bodies))]
		if b.swinging[face] {
			return turnedSolid(body, (angle - b.Target).Rad())
		}
		return body
	}
	face := draw.IntN(len(b.Blank.Faces))
	body := moved(face)
	if draw.IntN(4) == 0 {
		other := draw.IntN(len(b.Blank.Faces))
		if b.swinging[other] == b.swinging[face] {
			return pairOfSolids{}, false
		}
		return solidPair(body, moved(other)), true
	}
	section := b.randomSection(draw, angle)
	low := float64(b.Length) * (draw.Float64()*1.6 - 0.8)
	high := low + float64(b.Length)*(0.2+draw.Float64())
	return sectionPair(body, section, low, high), true
}

// randomSection draws a body of the brake that runs along it.
func (b *Bench) randomSection(draw *rand.Rand, angle unit.Deg) geom.Polygon {
	v := View{bench: b, angle: angle}
	switch n := draw.IntN(3 + len(b.Brake.Bars)); n {
	case 0:
		return b.View(0, 0, 0).Bed
	case 1:
		return v.Leaf(brake.Full)
	case 2:
		return v.Leaf(brake.Slim)
	default:
		return b.tool(n - 3).whole.outline
	}
}

// sectionPair is what the planner says of a body and of something that runs
// along the brake from low to high: their shadows meet, and their extents.
func sectionPair(body []geom.Point3, section geom.Polygon, low, high float64) pairOfSolids {
	g := shadow(body)
	apart := geom.Apart(g, section)
	from, to := geom.Span(body, alongX)
	overlap := min(to, high) - max(from, low)
	c := pairOfSolids{A: corners(body), hit: apart == 0 && overlap > 0}
	for _, x := range []float64{low, high} {
		for _, p := range section {
			c.B = append(c.B, [3]float64{x, p.X, p.Y})
		}
	}
	switch {
	case c.hit:
		c.near = min(geom.Sunk(g, section), overlap)
	case overlap > 0:
		c.near = apart
	default:
		c.near = max(apart, -overlap)
	}
	return c
}

// solidPair is what the planner says of two bodies of the part.
func solidPair(a, b []geom.Point3) pairOfSolids {
	d := geom.Separation(a, b)
	c := pairOfSolids{A: corners(a), B: corners(b), hit: d == 0, near: d}
	if c.hit {
		// How deep is not known here: it is a clear hit if it stays one when one
		// body is shrunk about its middle.
		c.near = touching
		if geom.Separation(shrunk(a), b) > 0 {
			c.near = 0
		}
	}
	return c
}

// shrunk moves every corner of a body towards its middle by the distance that
// is left out as touching.
func shrunk(body []geom.Point3) []geom.Point3 {
	var middle geom.Point3
	for _, p := range body {
		middle = middle.Add(p.Times(1 / float64(len(body))))
	}
	out := make([]geom.Point3, len(body))
	for i, p := range body {
		v := p.Sub(middle)
		out[i] = middle.Add(v.Times(max(0, 1-4*touching/v.Length())))
	}
	return out
}

// outsideDigest tells the cases apart from those of other geometry.
func outsideDigest(cases []pairOfSolids) string {
	var b bytes.Buffer
	for _, c := range cases {
		for _, body := range [][][3]float64{c.A, c.B} {
			for _, p := range body {
				fmt.Fprintf(&b, "%.3f %.3f %.3f ", zero(p[0]), zero(p[1]), zero(p[2]))
			}
		}
		b.WriteByte('\n')
	}
	sum := sha256.Sum256(b.Bytes())
	return hex.EncodeToString(sum[:8])
}

// zero rounds away from ties, so that the last digits of another machine's
// arithmetic do not matter.
func zero(v float64) float64 { return math.Round(v*1000+1e-4) / 1000 }

func TestHitsAgreeWithAnOutsideSolidModeller(t *testing.T) {
	cases, leftOut := outsideCases(t)
	digest := outsideDigest(cases)
	if *casesFile != "" {
		data, err := json.Marshal(map[string]any{"digest": digest, "pairs": cases})
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(*casesFile, data, 0o644); err != nil {
			t.Fatal(err)
		}
		t.Logf("wrote %d pairs", len(cases))
		return
	}
	var recorded struct {
		Modeller string    `json:"modeller"`
		Digest   string    `json:"digest"`
		Volumes  []float64 `json:"volumes"` // cubic millimetres
	}
	data, err := os.ReadFile(outsideVolumes)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &recorded); err != nil {
		t.Fatal(err)
	}
	if recorded.Digest != digest || len(recorded.Volumes) != len(cases) {
		t.Fatalf("the recorded volumes are of other solids: make them again as testdata/collisions/volumes.mjs tells")
	}
	hits := 0
	for i, c := range cases {
		if outside := recorded.Volumes[i] > 1e-9; outside != c.hit {
			t.Errorf("pair %d: we say hit %v (%.3f mm from touching), %s finds %g mm3 in common", i, c.hit, c.near, recorded.Modeller, recorded.Volumes[i])
		}
		if c.hit {
			hits++
		}
	}
	t.Logf("%d pairs, %d hits, %d left out as within %.2f mm of touching, against %s", len(cases), hits, leftOut, touching, recorded.Modeller)
}
