package scene

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/calc/figures"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/part"
)

// drafted is the blank of a part file.
func drafted(t testing.TB, text string) *flat.Blank {
	t.Helper()
	p, err := part.Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	plan, err := figures.Shop{}.Draft(p)
	if err != nil {
		t.Fatal(err)
	}
	return plan.Blank
}

// meshOf is a part with some bends made as seen from one side, in its real thickness.
func meshOf(b *flat.Blank, c camera, made fold.Made) *mesh {
	m := (&scene{camera: c}).add(settled(b, largest(b), made), real(b))
	m.close()
	return m
}

// examples are the example parts by name.
func examples(t testing.TB) map[string]string {
	t.Helper()
	files, err := filepath.Glob("../../testdata/parts/*.json")
	if err != nil || len(files) < 12 {
		t.Fatalf("%d parts, %v", len(files), err)
	}
	out := map[string]string{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		out[strings.TrimSuffix(filepath.Base(file), ".json")] = string(data)
	}
	return out
}

const plate = `{"number":"P","material":"mild-steel","thickness":2,"inside_radius":2,"profile":{"length":40,"legs":[20,30],"bends":[90]}}`

// An unbent plate shows nine of its twelve edges. Its bend is not made, so no
// line is drawn along it; but it cuts the two long edges, whose upper and lower
// lines then come in several pieces, end to end.
func TestFlatPlateShowsNineEdges(t *testing.T) {
	b := drafted(t, plate)
	count := map[string]int{}
	for _, l := range meshOf(b, sides()[0], 0).strokes() {
		dx, dy := l.To.X-l.From.X, l.To.Y-l.From.Y
		// Each edge lies on its own straight line: named by its slope and its height over the origin.
		turn := (int(math.Round(math.Atan2(dy, dx)*180/math.Pi)) + 360) % 180
		off := (l.From.X*dy - l.From.Y*dx) / math.Hypot(dx, dy)
		count[fmt.Sprintf("%d %.0f", turn, math.Abs(off))]++
	}
	if len(count) != 9 {
		t.Errorf("a plate shows %d edges, want 9: %v", len(count), count)
	}
	for edge := range count {
		if turn, _, _ := strings.Cut(edge, " "); turn != "30" && turn != "90" && turn != "150" {
			t.Errorf("an edge runs at %s degrees in an isometric view", turn)
		}
	}
}

// The three axes of every view are shortened alike, by root 2/3, and the view is
// right-handed, so that no part is drawn as its mirror image.
func TestSidesAreIsometric(t *testing.T) {
	for i, s := range sides() {
		for _, axis := range []geom.Point3{{X: 1}, {Y: 1}, {Z: 1}} {
			seen, _ := s.see(axis)
			if math.Abs(seen.Length()-math.Sqrt(2./3)) > 1e-12 {
				t.Errorf("side %d: an axis is %v long", i, seen.Length())
			}
		}
		if got := s.right.Cross(s.up).Dot(s.away); math.Abs(got+1) > 1e-12 {
			t.Errorf("side %d: right, up and away make %v, want -1: away from the viewer", i, got)
		}
	}
}

// blocked asks whether a facet stands before a place, by casting a ray to the
// viewer: another way than the cutting of lines that the pictures use. The
// answer is false, too, where the ray passes an edge so closely that rounding
// decides.
func (m *mesh) blocked(p geom.Point3) (hidden, sure bool) {
	ray := m.camera.away.Times(-1)
	sure = true
	for _, f := range m.facets {
		normal := geom.Point3{}
		for i := 1; i+1 < len(f.ring); i++ { // the sum of the fan: no corner on a straight edge spoils it
			normal = normal.Add(f.ring[i].Sub(f.ring[0]).Cross(f.ring[i+1].Sub(f.ring[0])))
		}
		slope := normal.Dot(ray)
		if math.Abs(slope) <= 1e-4*normal.Length() {
			continue // seen edge on, or without area: the inside of a closed hem
		}
		ahead := normal.Dot(f.ring[0].Sub(p)) / slope
		hit := p.Add(ray.Times(ahead))
		depth := insideBy(f.ring, hit, normal)
		for _, h := range f.holes {
			depth = min(depth, -insideBy(h, hit, normal))
		}
		switch {
		case depth < -0.05 || ahead < 0:
		case depth < 0.05 || ahead < 3*nearer:
			sure = sure && (depth < -0.05 || ahead < 0.5*nearer)
		default:
			hidden = true
		}
	}
	return hidden, sure
}

// insideBy is how far a place lies inside a ring, by the winding of the ring
// about it; below zero outside.
func insideBy(ring []geom.Point3, p, normal geom.Point3) float64 {
	unit := normal.Times(1 / normal.Length())
	turned, nearest := 0.0, math.Inf(1)
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		u, v := a.Sub(p), b.Sub(p)
		turned += math.Atan2(unit.Dot(u.Cross(v)), u.Dot(v))
		edge := b.Sub(a)
		share := 0.0
		if long := edge.Dot(edge); long > 0 {
			share = min(max(-u.Dot(edge)/long, 0), 1)
		}
		nearest = min(nearest, u.Add(edge.Times(share)).Length())
	}
	if math.Abs(turned) > math.Pi {
		return nearest
	}
	return -nearest
}

// What is drawn is in sight, and what is left out is not: every line of every
// example, folded in full and in part, from all eight sides, against a ray to
// the viewer.
func TestWhatIsDrawnIsWhatIsSeen(t *testing.T) {
	for name, text := range examples(t) {
		b := drafted(t, text)
		joints := len(b.Joints)
		for k, c := range sides() {
			made := fold.All(joints)
			if k%2 == 1 {
				made = fold.All(joints / 2)
			}
			seesRight(t, fmt.Sprintf("%s from side %d", name, k), meshOf(b, c, made))
		}
	}
}

// seesRight compares samples along every line of a mesh.
func seesRight(t *testing.T, what string, m *mesh) {
	t.Helper()
	asked, wrong := 0, 0
	for i := 0; i < len(m.segments); i += 1 + len(m.segments)/150 {
		s := m.segments[i]
		l, ok := m.sightOf(s)
		if !ok || l.to.Sub(l.from).Length() < 0.5 {
			continue
		}
		hidden := m.hidden(l)
		for _, share := range []float64{0.19, 0.53, 0.87} {
			want, sure := m.blocked(s.from.Add(s.to.Sub(s.from).Times(share)))
			if !sure {
				continue
			}
			got := false
			for _, v := range hidden {
				got = got || share > v.from && share < v.to
			}
			asked++
			if got != want {
				if wrong++; wrong < 3 {
					t.Errorf("%s: at %.2f of the line from %v to %v: hidden %v, want %v", what, share, s.from, s.to, got, want)
				}
			}
		}
	}
	if asked < 20 {
		t.Errorf("%s: only %d places were asked", what, asked)
	}
}

// The drawn surface is that of the folded part: the corners of the flats lie
// where fold puts them.
func TestMeshLiesOnTheFoldedPart(t *testing.T) {
	for name, text := range examples(t) {
		blank := drafted(t, text)
		made := fold.All(len(blank.Joints))
		m := meshOf(blank, sides()[0], made)
		bodies := m.tree.Solids(made)
		count := 0
		for i, f := range blank.Faces {
			for _, level := range []int{0, 1} {
				for k := range f.Solid {
					ring := m.facets[count+level*len(f.Solid)+k].ring
					for c, q := range ring {
						if want := bodies[i][k][c+level*len(ring)]; q.Sub(want).Length() > 1e-9 {
							t.Fatalf("%s: a corner of face %s is drawn at %v and folded to %v", name, f.ID, q, want)
						}
					}
				}
			}
			count += 2 * len(f.Solid)
		}
	}
}
