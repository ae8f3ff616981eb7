package flat_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/part"
)

// drawn is a part in the flat form, as lists of faces, bends and joined pairs.
type drawn struct{ faces, bends, joined []string }

func (d drawn) text() string {
	return header + `"flat":{"faces":[` + strings.Join(d.faces, ",") + `],"bends":[` + strings.Join(d.bends, ",") + `],"joined":[` + strings.Join(d.joined, ",") + `]}}`
}

func face(id string, corners ...float64) string {
	var points []string
	for i := 0; i < len(corners); i += 2 {
		points = append(points, fmt.Sprintf("[%v,%v]", corners[i], corners[i+1]))
	}
	return fmt.Sprintf(`{"id":"%s","outline":[%s]}`, id, strings.Join(points, ","))
}

func rectangle(id string, x, y, right, top float64) string {
	return face(id, x, y, right, y, right, top, x, top)
}

func bendLine(id, between string, ends ...float64) string {
	a, b, _ := strings.Cut(between, " ")
	return fmt.Sprintf(`{"id":"%s","between":["%s","%s"],"line":[[%v,%v],[%v,%v]],"angle":90}`, id, a, b, ends[0], ends[1], ends[2], ends[3])
}

// plate and flange are an L: the plate 100 x 50, the flange above it.
var (
	plate  = rectangle("plate", 0, 0, 100, 50)
	flange = rectangle("flange", 0, 50, 100, 90)
	edge   = bendLine("b", "plate flange", 0, 50, 100, 50)
)

func TestFlatForm(t *testing.T) {
	tests := []struct {
		name  string
		part  drawn
		faces int
		area  float64
		loops int
	}{
		{"L", drawn{faces: []string{plate, flange}, bends: []string{edge}}, 2, 9000, 1},
		{"clockwise outlines", drawn{faces: []string{face("plate", 0, 50, 100, 50, 100, 0, 0, 0), flange}, bends: []string{edge}}, 2, 9000, 1},
		{"corners a hundredth off", drawn{faces: []string{plate, face("flange", 0.01, 50.01, 100, 49.99, 100, 90, 0, 90)}, bends: []string{edge}}, 2, 9000, 1},
		{"not at the origin", drawn{faces: []string{rectangle("plate", -30, -70, 70, -20), rectangle("flange", -30, -20, 70, 20)}, bends: []string{bendLine("b", "plate flange", -30, -20, 70, -20)}}, 2, 9000, 1},
		{"a tab on a longer edge", drawn{faces: []string{plate, rectangle("flange", 20, 50, 40, 90)}, bends: []string{bendLine("b", "plate flange", 20, 50, 40, 50)}}, 2, 5800, 1},
		{"a face of joined pieces", drawn{faces: []string{plate, rectangle("more", 100, 0, 150, 50), flange}, bends: []string{edge}, joined: []string{`["plate","more"]`}}, 2, 11500, 1},
		{"pieces joined by way of a third", drawn{
			faces: []string{rectangle("left", -50, 0, 0, 50), rectangle("right", 100, 0, 150, 50), plate, flange}, bends: []string{edge},
			joined: []string{`["left","plate"]`, `["plate","right"]`}}, 2, 14000, 1},
		{"a window between two bends on one line", drawn{
			faces: []string{face("plate", 0, 0, 100, 0, 100, 50, 60, 50, 60, 40, 40, 40, 40, 50, 0, 50), flange},
			bends: []string{bendLine("b", "plate flange", 0, 50, 40, 50), bendLine("c", "plate flange", 60, 50, 100, 50)}}, 2, 8800, 2},
		{"a face around a window", drawn{
			faces: []string{face("plate", 0, 0, 100, 0, 100, 50, 70, 50, 70, 20, 30, 20, 30, 50, 0, 50), flange},
			bends: []string{bendLine("b", "plate flange", 0, 50, 30, 50), bendLine("c", "plate flange", 70, 50, 100, 50)}}, 2, 7800, 2},
		{"a notched face", drawn{faces: []string{face("plate", 0, 0, 100, 0, 100, 50, 0, 50, 0, 30, 40, 25, 0, 20), flange}, bends: []string{edge}}, 2, 8800, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			b := develop(t, test.part.text())
			if len(b.Faces) != test.faces {
				t.Errorf("%d faces, want %d", len(b.Faces), test.faces)
			}
			near(t, "area", b.Area(), test.area, 2.5)
			if len(b.Outline) != test.loops || !(b.Outline[0].Area() > 0) {
				t.Errorf("outline = %v, want %d loops, the first anticlockwise", b.Outline, test.loops)
			}
			for _, opening := range b.Outline[1:] {
				if !(opening.Area() < 0) {
					t.Errorf("the opening %v does not run clockwise", opening)
				}
			}
			low, high := geom.Bounds(b.Outline[0]...)
			near(t, "the lower left corner lies at the origin", math.Hypot(low.X, low.Y), 0, 0.02)
			near(t, "width", high.X, float64(b.Width), 0.02)
		})
	}
}

// The names of joined pieces all lead to the one face.
func TestJoinedPiecesKeepTheirNames(t *testing.T) {
	b := develop(t, drawn{faces: []string{plate, rectangle("more", 100, 0, 150, 50), flange}, bends: []string{edge}, joined: []string{`["more","plate"]`}}.text())
	if b.FaceIndex("plate") != 0 || b.FaceIndex("more") != 0 || b.FaceIndex("flange") != 1 {
		t.Errorf("plate, more, flange are the faces %d, %d, %d", b.FaceIndex("plate"), b.FaceIndex("more"), b.FaceIndex("flange"))
	}
}

func TestFlatRefusals(t *testing.T) {
	tests := []struct {
		name        string
		part        drawn
		field, says string
	}{
		{"an outline that crosses itself", drawn{faces: []string{face("plate", 0, 0, 100, 50, 100, 0, 0, 50), flange}, bends: []string{edge}}, "flat.faces[0].outline", "cross"},
		{"an outline that touches itself", drawn{faces: []string{face("plate", 0, 0, 100, 0, 100, 50, 50, 0, 0, 50), flange}, bends: []string{edge}}, "flat.faces[0].outline", "touch itself"},
		{"a corner twice", drawn{faces: []string{face("plate", 0, 0, 0, 0, 100, 0, 100, 50, 0, 50), flange}, bends: []string{edge}}, "flat.faces[0].outline[0]", "twice"},
		{"the first corner again at the end", drawn{faces: []string{face("plate", 0, 0, 100, 0, 100, 50, 0, 50, 0, 0), flange}, bends: []string{edge}}, "flat.faces[0].outline[4]", "twice"},
		{"no area", drawn{faces: []string{face("plate", 0, 50, 100, 50, 50, 50), flange}, bends: []string{edge}}, "flat.faces[0]", "does not bound an area"},
		{"a bend off the edge", drawn{faces: []string{plate, flange}, bends: []string{bendLine("b", "plate flange", 0, 45, 100, 45)}}, "flat.bends[0].line", "does not lie on an edge of face plate"},
		{"a bend longer than the edge", drawn{faces: []string{plate, flange}, bends: []string{bendLine("b", "plate flange", 0, 50, 120, 50)}}, "flat.bends[0].line", "does not lie"},
		{"a slanting bend", drawn{faces: []string{plate, flange}, bends: []string{bendLine("b", "plate flange", 0, 50, 100, 51)}}, "flat.bends[0].line", "does not lie"},
		{"two faces on one side", drawn{faces: []string{plate, rectangle("flange", 0, 20, 100, 50)}, bends: []string{edge}}, "flat.bends[0].between", "same side"},
		{"a ring", drawn{
			faces: []string{rectangle("a", 0, 0, 45, 45), rectangle("b", 45, 5, 95, 45), rectangle("c", 50, 45, 95, 95), rectangle("d", 0, 45, 50, 90)},
			bends: []string{bendLine("1", "a b", 45, 10, 45, 40), bendLine("2", "b c", 55, 45, 90, 45), bendLine("3", "c d", 50, 50, 50, 85), bendLine("4", "d a", 5, 45, 40, 45)}},
			"flat.bends[3]", "ring"},
		{"two bends on one line of different radius", drawn{
			faces: []string{face("plate", 0, 0, 100, 0, 100, 50, 60, 50, 60, 40, 40, 40, 40, 50, 0, 50), flange},
			bends: []string{bendLine("b", "plate flange", 0, 50, 40, 50), strings.Replace(bendLine("c", "plate flange", 60, 50, 100, 50), `"angle"`, `"radius":3,"angle"`, 1)}},
			"flat.bends[1]", "ring"},
		{"a face by itself", drawn{faces: []string{plate, flange, rectangle("lost", 200, 0, 250, 50)}, bends: []string{edge}}, "flat.faces", "face lost does not hang together"},
		{"joined pieces that do not touch", drawn{faces: []string{plate, flange, rectangle("far", 200, 0, 250, 50)}, bends: []string{edge}, joined: []string{`["plate","far"]`}}, "flat.faces", "not one piece"},
		{"joined pieces that touch at a corner only", drawn{faces: []string{plate, flange, rectangle("far", 100, -40, 150, 0)}, bends: []string{edge}, joined: []string{`["plate","far"]`}}, "flat.faces", "not one piece"},
		{"joined pieces that overlap", drawn{faces: []string{plate, flange, rectangle("over", 50, 10, 150, 40)}, bends: []string{edge}, joined: []string{`["plate","over"]`}}, "flat.faces", "not one piece"},
		{"a bend within one face", drawn{faces: []string{plate, flange}, bends: []string{edge}, joined: []string{`["plate","flange"]`}}, "flat.bends[0].between", "joined into one"},
		{"faces over each other", drawn{faces: []string{plate, flange, face("wide", 100, 0, 160, 0, 160, 80, 80, 80, 80, 60, 100, 60)}, bends: []string{edge, bendLine("c", "plate wide", 100, 0, 100, 48)}}, "flat.faces", "overlap"},
		{"bends so near that their zones overlap", drawn{
			faces: []string{plate, rectangle("thin", 0, 50, 100, 52), rectangle("lip", 0, 52, 100, 80)},
			bends: []string{bendLine("b", "plate thin", 0, 50, 100, 50), bendLine("c", "thin lip", 0, 52, 100, 52)}}, "flat.faces[1]", ""},
		{"bends that meet in a corner without a relief", drawn{
			faces: []string{plate, flange, rectangle("side", 100, 0, 140, 50)}, bends: []string{edge, bendLine("c", "plate side", 100, 0, 100, 50)}}, "flat.faces[0]", "zones of bends b and c overlap"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := refusal(t, test.part.text())
			if !strings.HasPrefix(r.Field, test.field) || !strings.Contains(r.Message, test.says) || r.Line != 1 || r.Column < 60 {
				t.Errorf("refused with %v, want it on %q saying %q", r, test.field, test.says)
			}
		})
	}
}

// Corner points of a fine curve stay: each one is nearly straight, all of them
// together are not.
func TestOutlineKeepsFineCurves(t *testing.T) {
	for _, n := range []int{10, 100, 1000, 5000} {
		corners := []float64{0, 50, 100, 50}
		for i := range n {
			sin, cos := math.Sincos(math.Pi * (float64(i) + 0.5) / float64(n))
			corners = append(corners, 50+50*cos, 50+50*sin)
		}
		b := develop(t, drawn{faces: []string{plate, face("flange", corners...)}, bends: []string{edge}}.text())
		near(t, fmt.Sprintf("area with a half circle of %d corners", n), b.Area(), areas(b), 1e-3*b.Area())
	}
}

// comb is a plate with a flange of n corners: the most an outline may have.
func comb(n int) drawn {
	teeth := n / 4
	corners := []float64{0, 50, float64(2 * teeth), 50}
	for i := range teeth {
		x := float64(2 * (teeth - i))
		corners = append(corners, x, 150, x-1, 150, x-1, 100, x-2, 100)
	}
	return drawn{
		faces: []string{rectangle("plate", 0, 0, float64(2*teeth), 50), face("flange", corners...)},
		bends: []string{bendLine("b", "plate flange", 0, 50, float64(2*teeth), 50)},
	}
}

// The outline with the most corners is worked out; BenchmarkComb tells how fast.
func TestOutlineOfTheMostCorners(t *testing.T) {
	n := part.MostVertices - 2
	b := develop(t, comb(n).text())
	if got := len(b.Outline[0]); got < n-4 {
		t.Errorf("the outline has %d corners, want about %d", got, n)
	}
	near(t, "area", b.Area(), areas(b), 1)
}

func BenchmarkComb(b *testing.B) {
	p := readPart(b, comb(part.MostVertices-2).text())
	s := sheet(b, 1)
	for b.Loop() {
		if _, err := flat.Develop(p, s); err != nil {
			b.Fatal(err)
		}
	}
}

// A profile drawn as a blank gives the same blank as the profile.
func TestFlatFormOfAProfile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, _, _ := anyProfile(t, 130)
		b := develop(t, text)
		d := drawn{}
		for _, f := range b.Faces {
			low, high := geom.Bounds(f.Pieces[0]...)
			d.faces = append(d.faces, rectangle(f.ID, low.X, low.Y, high.X, high.Y))
		}
		for _, j := range b.Joints {
			line := bendLine(j.ID, b.Faces[j.Faces[0]].ID+" "+b.Faces[j.Faces[1]].ID, j.Line[0].X, j.Line[0].Y, j.Line[1].X, j.Line[1].Y)
			d.bends = append(d.bends, strings.Replace(line, `"angle":90`, fmt.Sprintf(`"angle":%v,"radius":%v`, float64(j.Angle), float64(j.Bend.Radius)), 1))
		}
		same := develop(t, strings.Replace(d.text(), `"thickness":1,`, fmt.Sprintf(`"thickness":%v,`, float64(b.Sheet.Thickness)), 1))
		near(t, "area", same.Area(), b.Area(), 1e-3)
		for i := range b.Faces {
			near(t, "flat of "+b.Faces[i].ID, same.Faces[i].Solid[0].Area(), b.Faces[i].Solid[0].Area(), 1e-3)
		}
	})
}

// Every part of the development suite develops, and what its faces cover adds
// up.
func TestSuiteDevelops(t *testing.T) {
	files, _ := filepath.Glob("../../testdata/suite/parts/*.json")
	if len(files) < 12 {
		t.Fatalf("%d parts in the suite, want 12 or more", len(files))
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		b := develop(t, string(data))
		near(t, file+": area", b.Area(), areas(b), 1)
		if len(b.Outline) != 1 {
			t.Errorf("%s: %d loops", file, len(b.Outline))
		}
		if tree := fold.NewTree(b, 0); len(tree.Order) != len(b.Faces) {
			t.Errorf("%s: %d of %d faces hang together", file, len(tree.Order), len(b.Faces))
		}
	}
	p1 := develop(t, mustRead(t, "../../testdata/suite/parts/P1.json"))
	near(t, "the blank of P1 = 34 + 52 - 2 x 3 + 3.13", float64(p1.Height), 83.13, 0.005)
}

func mustRead(t *testing.T, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
