package drawing_test

import (
	"path/filepath"
	"strings"
	"testing"

	"brakeside/calc/drawing"
	"brakeside/calc/part"
	"brakeside/calc/unit"
	"brakeside/testdata/parts"
)

// A developed blank, drawn as lines only, comes back as the same blank: as many
// faces and bends, the same size, and each bend where it was.
func TestBlanksComeBack(t *testing.T) {
	files, err := filepath.Glob("../../testdata/parts/*.json")
	if err != nil || len(files) < 12 {
		t.Fatalf("%d parts, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(t *testing.T) {
			b := parts.Develop(t, file)
			var sketch drawing.Sketch
			for _, loop := range b.Outline {
				sketch.Edges = append(sketch.Edges, drawing.Stroke{Points: loop, Closed: true})
			}
			for _, j := range b.Joints {
				sketch.Up = append(sketch.Up, drawing.Stroke{Points: j.Line[:]})
			}
			read, err := sketch.Flat(drawing.Angles{All: 10}) // flat enough for every leg
			if err != nil {
				t.Fatal(err)
			}
			again := parts.Blank(t, part.Part{Number: "T", Material: b.Part.Material, Thickness: b.Part.Thickness, InsideRadius: b.Part.InsideRadius, Flat: read.Flat, Holes: read.Holes, Cutouts: read.Cutouts})
			if len(again.Faces) != len(b.Faces) || len(again.Joints) != len(b.Joints) {
				t.Errorf("%d faces and %d bends, want %d and %d", len(again.Faces), len(again.Joints), len(b.Faces), len(b.Joints))
			}
			near(t, "the area", again.Area(), b.Area(), 0.001*b.Area()) // arcs came back as chords
			near(t, "the width", float64(again.Width), float64(b.Width), 1e-3)
			near(t, "the height", float64(again.Height), float64(b.Height), 1e-3)
			for i, j := range again.Joints {
				middle := j.Line[0].Add(j.Line[1]).Times(0.5)
				was := b.Joints[i].Line[0].Add(b.Joints[i].Line[1]).Times(0.5)
				near(t, "how far bend "+b.Joints[i].ID+" moved", middle.Sub(was).Length(), 0, 0.05)
				near(t, "the length of bend "+b.Joints[i].ID, float64(j.Length()), float64(b.Joints[i].Length()), 0.1)
			}
		})
	}
}

// Inches, snapped: what was read is in millimetres to a tenth of a micrometre.
func TestReadIsTidy(t *testing.T) {
	read, err := drawing.Sketch{
		Edges: []drawing.Stroke{plate(101.60000000001, 60), circle(30.00000004, 40, 3.175)},
		Up:    []drawing.Stroke{open(0, 20.00000001, 101.6, 20.00000001)},
	}.Flat(drawing.Angles{All: 90})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := read.Holes[0], (part.Hole{Face: "f1", At: [2]unit.MM{30, 40}, Diameter: 6.35}); got != want {
		t.Errorf("hole %v, want %v", got, want)
	}
	if got := read.Flat.Bends[0].Line; got != [2][2]unit.MM{{0, 20}, {101.6, 20}} && got != [2][2]unit.MM{{101.6, 20}, {0, 20}} {
		t.Errorf("bend line %v", got)
	}
}
