package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"brakeside/calc/geom"
)

// near is how closely figures of one plan must agree, in millimetres and
// degrees: they come from one calculation and are printed in full.
const near = 1e-6

func numbers(v any) []float64 {
	var out []float64
	for _, e := range v.([]any) {
		out = append(out, e.(float64))
	}
	return out
}

func pointOf(v any) geom.Point2 {
	n := numbers(v)
	return geom.Point2{X: n[0], Y: n[1]}
}

func pointsOf(v any) []geom.Point2 {
	var out []geom.Point2
	for _, e := range v.([]any) {
		out = append(out, pointOf(e))
	}
	return out
}

func things(v any) []map[string]any {
	var out []map[string]any
	for _, e := range v.([]any) {
		out = append(out, e.(map[string]any))
	}
	return out
}

// rings are the outline of a blank and its openings.
func rings(plan map[string]any) [][]geom.Point2 {
	blank := plan["blank"].(map[string]any)
	all := [][]geom.Point2{pointsOf(blank["outline"])}
	for _, o := range blank["openings"].([]any) {
		all = append(all, pointsOf(o))
	}
	return all
}

// TestOutlinesAreSimple: an outline closes without crossing or touching
// itself, runs anticlockwise, fills the size and has the area that is printed.
func TestOutlinesAreSimple(t *testing.T) {
	for _, file := range partFiles(t) {
		plan := planned(t, file)
		area := 0.0
		for i, ring := range rings(plan) {
			if len(ring) < 3 {
				t.Fatalf("%s: ring %d has %d corners", file, i, len(ring))
			}
			for a := range ring {
				for b := a + 1; b < len(ring); b++ {
					if meet(ring, a, b) {
						t.Errorf("%s: ring %d: edges %d and %d meet", file, i, a, b)
					}
				}
			}
			turned := signedArea(ring)
			if (turned > 0) != (i == 0) {
				t.Errorf("%s: ring %d turns the wrong way, area %g", file, i, turned)
			}
			area += turned
		}
		blank := plan["blank"].(map[string]any)
		// Rounds are drawn as chords, which leave out a little of a hole.
		if printed := blank["area"].(float64); math.Abs(area-printed) > 5e-5*area {
			t.Errorf("%s: area %g, the outline says %g", file, printed, area)
		}
		low, high := geom.Bounds(rings(plan)[0]...)
		size := numbers(blank["size"])
		if math.Abs(low.X) > near || math.Abs(low.Y) > near || math.Abs(high.X-size[0]) > near || math.Abs(high.Y-size[1]) > near {
			t.Errorf("%s: the outline reaches from %v to %v, the size is %v", file, low, high, size)
		}
	}
}

func signedArea(ring []geom.Point2) float64 {
	sum := 0.0
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		sum += p.X*q.Y - p.Y*q.X
	}
	return sum / 2
}

// meet reports whether two edges of a ring have a point in common that they
// should not have: neighbours share a corner only.
func meet(ring []geom.Point2, a, b int) bool {
	n := len(ring)
	a0, a1, b0, b1 := ring[a], ring[(a+1)%n], ring[b], ring[(b+1)%n]
	switch {
	case (a+1)%n == b:
		return offSegment(b1, a0, a1) < near || offSegment(a0, b0, b1) < near
	case (b+1)%n == a:
		return offSegment(a1, b0, b1) < near || offSegment(b0, a0, a1) < near
	}
	return min(offSegment(a0, b0, b1), offSegment(a1, b0, b1), offSegment(b0, a0, a1), offSegment(b1, a0, a1)) < near ||
		crosses(a0, a1, b0, b1)
}

func side(a, b, p geom.Point2) float64 { return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X) }

func crosses(a0, a1, b0, b1 geom.Point2) bool {
	return side(a0, a1, b0)*side(a0, a1, b1) < 0 && side(b0, b1, a0)*side(b0, b1, a1) < 0
}

// offSegment is how far p lies from the segment from a to b.
func offSegment(p, a, b geom.Point2) float64 {
	along := b.Sub(a)
	share := math.Max(0, math.Min(1, p.Sub(a).Dot(along)/along.Dot(along)))
	return p.Sub(a.Add(along.Times(share))).Length()
}

// TestBendLinesEndOnTheOutline: a bend line runs inside the metal from edge to
// edge, and its tangents lie half a bend allowance to each side.
func TestBendLinesEndOnTheOutline(t *testing.T) {
	for _, file := range partFiles(t) {
		plan := planned(t, file)
		bends := things(plan["bends"])
		for i, l := range things(plan["blank"].(map[string]any)["bend_lines"]) {
			id := l["bend"].(string)
			if id != bends[i]["id"] {
				t.Errorf("%s: line %d is of bend %s, bend %d is %s", file, i, id, i, bends[i]["id"])
			}
			line := pointsOf(l["line"])
			middle := line[0].Add(line[1]).Times(0.5)
			if !inMetal(plan, middle) {
				t.Errorf("%s: the middle of bend %s, %v, is not in the metal", file, id, middle)
			}
			for _, end := range line {
				if off := offOutline(plan, end); off > near {
					t.Errorf("%s: bend %s ends at %v, %g off the outline", file, id, end, off)
				}
			}
			half := bends[i]["allowance"].(float64) / 2
			for k, tangent := range l["tangents"].([]any) {
				for n, p := range pointsOf(tangent) {
					off := p.Sub(line[n])
					if math.Abs(off.Length()-half) > near || math.Abs(off.Dot(line[1].Sub(line[0]))) > near {
						t.Errorf("%s: tangent %d of bend %s is %v off the line, want %g square to it", file, k, id, off, half)
					}
				}
			}
			noseIsParallel(t, file, l)
		}
	}
}

func noseIsParallel(t *testing.T, file string, l map[string]any) {
	t.Helper()
	if l["nose"] == nil {
		return
	}
	line, nose := pointsOf(l["line"]), pointsOf(l["nose"])
	along := line[1].Sub(line[0]).Unit()
	if off := along.Cross(nose[1].Sub(nose[0]).Unit()); math.Abs(off) > near {
		t.Errorf("%s: the nose line of bend %s is %g off parallel", file, l["bend"], off)
	}
}

// inMetal counts the edges to the right of a point.
func inMetal(plan map[string]any, p geom.Point2) bool {
	inside := false
	for _, ring := range rings(plan) {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
				inside = !inside
			}
		}
	}
	return inside
}

func offOutline(plan map[string]any, p geom.Point2) float64 {
	off := math.Inf(1)
	for _, ring := range rings(plan) {
		for i, a := range ring {
			off = math.Min(off, offSegment(p, a, ring[(i+1)%len(ring)]))
		}
	}
	return off
}

// TestBendArithmetic works the figures of every bend out anew from angle,
// radius, thickness and K, by the definitions: the allowance is the length of
// the neutral line, the outside setback (r+t) tan(angle/2). Of a hem only the
// allowance is so; and the deduction is that of outside sizes only.
func TestBendArithmetic(t *testing.T) {
	for _, file := range partFiles(t) {
		plan := planned(t, file)
		thickness := plan["thickness"].(float64)
		drawn, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		inside := bytes.Contains(drawn, []byte(`"sizes": "inside"`))
		for _, b := range things(plan["bends"]) {
			angle := math.Abs(b["angle"].(float64)) * math.Pi / 180
			radius, k := b["radius"].(float64), b["k"].(float64)
			allowance := angle * (radius + k*thickness)
			outside := (radius + thickness) * math.Tan(angle/2)
			wanted := map[string]float64{"allowance": allowance}
			if angle < math.Pi {
				wanted["outside_setback"] = outside
			} else {
				outside = radius + thickness
			}
			if angle < math.Pi && !inside {
				wanted["deduction"] = 2*outside - allowance
			}
			for name, want := range wanted {
				if got := b[name].(float64); math.Abs(got-want) > near {
					t.Errorf("%s: bend %s: %s %g, want %g", file, b["id"], name, got, want)
				}
			}
			if k <= 0 || k > 1 || b["springback"].(float64) < 0 || b["least_flange"].(float64) <= outside {
				t.Errorf("%s: bend %s: k %g, springback %v, least flange %v", file, b["id"], k, b["springback"], b["least_flange"])
			}
		}
	}
}

// TestStepsCoverTheBends: every bend is made exactly once; steps are numbered
// from 1; the target of a step is its bend's angle and its stop lies beyond by
// the springback, for a brake whose scale reads bend angles from zero.
func TestStepsCoverTheBends(t *testing.T) {
	for _, file := range partFiles(t) {
		plan := planned(t, file)
		if !plan["feasible"].(bool) {
			continue
		}
		bends := map[string]map[string]any{}
		var ids, made []string
		for _, b := range things(plan["bends"]) {
			bends[b["id"].(string)] = b
			ids = append(ids, b["id"].(string))
		}
		for i, s := range things(plan["order"]) {
			if s["step"].(float64) != float64(i+1) {
				t.Errorf("%s: step %d is numbered %v", file, i+1, s["step"])
			}
			for _, id := range s["bends"].([]any) {
				made = append(made, id.(string))
			}
			b := bends[s["bend"].(string)]
			target := math.Abs(b["angle"].(float64))
			if flatten, hem := s["flatten"].(string); hem && flatten != "" { // bent as far as the leaf goes, then flattened
				target = math.Min(target, s["target"].(float64))
			}
			if s["target"].(float64) != target || math.Abs(s["stop"].(float64)-target-b["springback"].(float64)) > near {
				t.Errorf("%s: step %d: target %v, stop %v; bend %s is of %g and springs back %v", file, i+1, s["target"], s["stop"], s["bend"], target, b["springback"])
			}
			if _, round := s["contact_line"]; !round && s["nose_setback"].(float64) < plan["thickness"].(float64) {
				t.Errorf("%s: step %d: nose setback %v on %v sheet", file, i+1, s["nose_setback"], plan["thickness"])
			}
		}
		slices.Sort(ids)
		slices.Sort(made)
		if !slices.Equal(ids, made) {
			t.Errorf("%s: the steps make %q of the bends %q", file, made, ids)
		}
	}
}

// profiles are made for the next test: bends both ways, below and above a right angle.
var profiles = []struct {
	name, over90 string
	legs, bends  []float64
}{
	{"angle", "apex", []float64{40, 60}, []float64{90}},
	{"channel", "apex", []float64{34, 60, 34}, []float64{90, 90}},
	{"offset", "apex", []float64{40, 50, 40}, []float64{90, -90}},
	{"hat", "apex", []float64{22, 31, 68, 31, 22}, []float64{-90, 90, 90, -90}},
	{"open angle", "apex", []float64{40, 60}, []float64{45}},
	{"odd angles", "apex", []float64{30, 44.5, 61.3, 30}, []float64{30, 120, -75}},
	{"sharp, to the apex", "apex", []float64{50, 60}, []float64{120}},
	{"sharp, to the tangent", "tangent", []float64{50, 60}, []float64{120}},
}

// TestProfileBlanks: what the legs as sized add up to less the blank is the sum
// of the deductions, and every bend line lies where the running sum of the
// flats says: leg by leg, less the deductions of the bends before and half of
// its own.
func TestProfileBlanks(t *testing.T) {
	for _, p := range profiles {
		t.Run(p.name, func(t *testing.T) {
			text := fmt.Sprintf(`{"number":"X-1","material":"mild-steel","thickness":1.25,"inside_radius":1.6,"over_90":%q,
"profile":{"length":300,"legs":%s,"bends":%s}}`, p.over90, list(p.legs), list(p.bends))
			plan := planned(t, written(t, t.TempDir(), "part.json", text))
			lines, flats := things(plan["blank"].(map[string]any)["bend_lines"]), 0.0
			for i, b := range things(plan["bends"]) {
				deduction := b["deduction"].(float64)
				flats += p.legs[i] - deduction/2
				if got := pointsOf(lines[i]["line"])[0].Y; math.Abs(got-flats) > near {
					t.Errorf("bend %s lies at %g, the running flats say %g", b["id"], got, flats)
				}
				flats -= deduction / 2
			}
			flats += p.legs[len(p.legs)-1]
			if got := numbers(plan["blank"].(map[string]any)["size"])[1]; math.Abs(got-flats) > near {
				t.Errorf("blank of %g, the legs less the deductions are %g", got, flats)
			}
		})
	}
}

func list(values []float64) string {
	text, _ := json.Marshal(values) // numbers always encode
	return string(text)
}
