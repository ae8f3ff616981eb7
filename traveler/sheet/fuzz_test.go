package sheet

import (
	"bytes"
	"math"
	"math/rand"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
	"brakeside/traveler/pdf"
)

// FuzzPages lays out travelers of random size and shape with the words it is
// given. None may panic, leave the margins, overlap, or hold a number that is
// none; each must be written as a PDF.
func FuzzPages(f *testing.F) {
	f.Add("Drip tray", "mild steel", int64(1), byte(4), byte(20))
	f.Add(strings.Repeat("Ä🔩", 80), "مَعْدِن \u202e", int64(2), byte(12), byte(0))
	f.Add("e\u0301\x00\xff\n\t", "", int64(3), byte(0), byte(255))
	f.Add("<b>%s&amp;</b>", strings.Repeat("W", 300), int64(4), byte(31), byte(1))
	f.Fuzz(func(t *testing.T, one, other string, seed int64, steps, quantity byte) {
		made := random(rand.New(rand.NewSource(seed)), one, other, int(steps%24))
		made.Quantity = int(quantity)
		doc, err := Document(made)
		if err != nil {
			t.Fatalf("Document() = %v", err)
		}
		for i, page := range doc.Pages {
			for _, fault := range look.Crowded(page) {
				t.Errorf("page %d: %s", i+1, fault)
			}
		}
		if err := pdf.Write(&bytes.Buffer{}, doc); err != nil {
			t.Errorf("pdf.Write() = %v", err)
		}
	})
}

// TestRandomTravelers lays out travelers of fixed seeds, with words of all
// sorts.
func TestRandomTravelers(t *testing.T) {
	words := []string{"Drip tray", "", "gyp Qj,;", strings.Repeat("rail bracket ", 30), "Ø12 ±0.5 → é", strings.Repeat("m", 400)}
	for seed := range int64(24) {
		r := rand.New(rand.NewSource(seed))
		made := random(r, words[r.Intn(len(words))], words[r.Intn(len(words))], int(seed%16))
		made.Part.Revision, made.Quantity = words[r.Intn(len(words))], r.Intn(40)
		for i, page := range pagesOf(t, made) {
			for _, fault := range look.Crowded(page) {
				t.Errorf("seed %d, page %d: %s", seed, i+1, fault)
			}
			if err := page.Check(); err != nil {
				t.Errorf("seed %d, page %d: %v", seed, i+1, err)
			}
		}
	}
}

// random is a valid traveler with a blank of any size, random holes, bend
// lines both ways, and random bars.
func random(r *rand.Rand, one, other string, steps int) *traveler.Traveler {
	t := fixture.Head("RX-1", one, other)
	t.Job, t.Shop, t.IssuedBy, t.Part.Material, t.Brake.Name = other, one, other, other, one
	t.Paper = []string{"a4", "letter"}[r.Intn(2)]
	t.Part.Grain = []string{"", "x", "y"}[r.Intn(3)]
	t.Part.MarkedFace = []string{"A", "B"}[r.Intn(2)]
	t.Proven, t.Brake.Magnet = r.Intn(2) == 0, r.Intn(2) == 0
	width, height := 5*math.Pow(400, r.Float64()), 5*math.Pow(400, r.Float64())
	t.Blank = traveler.Blank{
		Width: fixture.MM(width), Height: fixture.MM(height), Diagonal: fixture.MM(math.Hypot(width, height)), SumSizes: fixture.MM(height),
		Outline: []traveler.Point{fixture.At(0, 0), fixture.At(width, 0), fixture.At(width, height), fixture.At(0, height)},
	}
	for range r.Intn(6) {
		x, y := r.Float64()*width, r.Float64()*height
		fixture.Drill(&t.Blank, x, y, 0.01*width*r.Float64())
	}
	for range r.Intn(40) {
		t.Blank.RunningX = append(t.Blank.RunningX, fixture.MM(r.Float64()*width))
		t.Blank.RunningY = append(t.Blank.RunningY, fixture.MM(r.Float64()*height))
	}
	t.Blank.RunningX, t.Blank.RunningY = append(t.Blank.RunningX, 0, fixture.MM(width)), append(t.Blank.RunningY, 0, fixture.MM(height))
	for n := range steps {
		line := [2]traveler.Point{fixture.At(0, r.Float64()*height), fixture.At(width, 0)}
		line[1].Y = line[0].Y
		if r.Intn(2) == 0 {
			line = [2]traveler.Point{fixture.At(r.Float64()*width, 0), fixture.At(0, height)}
			line[1].X = line[0].X
		}
		t.Blank.Lines = append(t.Blank.Lines, traveler.BendLine{
			Bend: one, Step: n + 1, Up: r.Intn(2) == 0, Angle: unit.CentiDeg(r.Intn(17999)), Radius: fixture.MM(1), Line: line,
			Nose: line, Tangents: [2][2]traveler.Point{line, line},
		})
		t.Steps = append(t.Steps, randomStep(r, n+1, one, other))
	}
	if r.Intn(2) == 0 {
		t.Cautions = []traveler.Caution{{Level: traveler.Care, Text: one}, {Level: traveler.Danger, Text: other}}
	}
	return t
}

func randomStep(r *rand.Rand, number int, one, other string) traveler.Step {
	bars := []string{"wide", "narrow", "fingers"}
	s := traveler.Step{
		Number: number, Bend: one, TurnOver: r.Intn(3) == 0, Rotate: 90 * r.Intn(4), FaceUp: []string{"A", "B"}[r.Intn(2)],
		Clamped: other, Swinging: one, Bar: bars[r.Intn(3)], Leaf: []string{traveler.FullLeaf, traveler.SlimLeaf}[r.Intn(2)],
		Place: []string{traveler.Middle, traveler.PastLeft, traveler.PastRight}[r.Intn(3)], Length: fixture.MM(r.Float64() * 1200),
		NoseSetback: fixture.MM(r.Float64() * 30), Stop: unit.CentiDeg(r.Intn(20000) - 1000), Springback: fixture.Deg(2), StopFrom: other,
		Target: unit.CentiDeg(r.Intn(17999)), Tolerance: fixture.Deg(1), GaugeEdge: one, Gauge: fixture.MM(r.Float64() * 3000),
		CheckSize: other, Check: fixture.MM(r.Float64() * 3000), Clearance: fixture.MM(1), Tight: r.Intn(2) == 0,
	}
	for x := 0.0; s.Bar == "fingers" && r.Intn(9) > 0; {
		w := 15 + r.Float64()*120
		s.Segments = append(s.Segments, traveler.Segment{Width: fixture.MM(w), At: fixture.MM(x)})
		x += w + r.Float64()*3
		s.Length = fixture.MM(x)
	}
	if r.Intn(2) == 0 {
		s.Cautions = []traveler.Caution{{Level: traveler.Warning, Text: other}}
	}
	s.Before, s.After = fixture.Tools("wide", s.Leaf, 1, 0), fixture.Tools("wide", s.Leaf, 1, 90)
	return s
}
