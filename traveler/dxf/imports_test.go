package dxf

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"brakeside/calc/geom"
)

const importsFolder = "../../testdata/drawings/imports"

// row is one row of places as the outside reader sees it.
type row struct {
	Layer  string
	Box    [4]float64
	Length float64
}

// Drawings of three outside writers, of releases 12 to 2018, with blocks in blocks
// that are turned, mirrored, stretched and repeated, ellipses and splines, in
// millimetres, centimetres and inches: every line lies where the outside reader of
// testdata/drawings/imports/make.py (ezdxf) has it, on the same layer, within
// 0.02 mm.
func TestDrawingsOfOthers(t *testing.T) {
	var answers map[string][]row
	text, err := os.ReadFile(filepath.Join(importsFolder, "answers.json"))
	if err != nil || json.Unmarshal(text, &answers) != nil || len(answers) < 5 {
		t.Fatal(err, len(answers))
	}
	for name, want := range answers {
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(importsFolder, name))
			if err != nil {
				t.Fatal(err)
			}
			d := drawn(t, data, Millimetres)
			var got []row
			for _, s := range d.Shapes {
				if s.Unread != "" {
					t.Errorf("%s on %s: %s", s.Kind, s.Layer, s.Unread)
				}
				got = append(got, row{s.Layer, span(s), lengthOf(s)})
			}
			wantRows(t, got, want)
		})
	}
}

// wantRows pairs each row with one that is wanted.
func wantRows(t *testing.T, got, want []row) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%d lines, want %d", len(got), len(want))
	}
	for _, g := range got {
		i := slices.IndexFunc(want, g.like)
		if i < 0 {
			t.Errorf("nothing like %+v is wanted", g)
			continue
		}
		want = slices.Delete(slices.Clone(want), i, i+1)
	}
	for _, w := range want {
		t.Errorf("missing: %+v", w)
	}
}

func (r row) like(other row) bool {
	near := r.Layer == other.Layer && math.Abs(r.Length-other.Length) < 0.02+other.Length*0.005 // chords are shorter than arcs
	for i := range r.Box {
		near = near && math.Abs(r.Box[i]-other.Box[i]) < 0.02
	}
	return near
}

func lengthOf(s Shape) (sum float64) {
	for i, p := range s.Points[1:] {
		sum += p.Sub(s.Points[i]).Length()
	}
	if last := len(s.Points) - 1; s.Closed {
		sum += s.Points[0].Sub(s.Points[last]).Length()
	}
	return sum
}

// blockFile is a drawing with blocks in it, as file writes it.
func blockFile(blocks string, entities ...string) []byte {
	return file("0 ENDSEC\n0 SECTION\n2 BLOCKS\n"+blocks, entities...)
}

func blockOf(name string, entities ...string) string {
	return "0 BLOCK\n8 0\n2 " + name + "\n70 0\n10 0\n20 0\n" + strings.Join(entities, "") + "0 ENDBLK\n"
}

const holeOnNothing = "0 CIRCLE\n8 0\n10 0\n20 0\n40 2\n"

func inserted(name, more string) string {
	return "0 INSERT\n8 HOLES\n2 " + name + "\n10 30\n20 40\n" + more
}

// A hole in a block on layer 0 is drawn on the layer of the insertion, a circle as
// long as the block is stretched alike; stretched to one side it is an opening.
func TestBlocksAreFollowed(t *testing.T) {
	for _, c := range []struct {
		name, more string
		holes      int
		radius     float64
		span       [4]float64
	}{
		{"once", "", 1, 2, [4]float64{28, 38, 32, 42}},
		{"larger", "41 1.5\n42 1.5\n", 1, 3, [4]float64{27, 37, 33, 43}},
		{"mirrored", "41 -1\n", 1, 2, [4]float64{28, 38, 32, 42}},
		{"longer", "41 2\n", 1, 0, [4]float64{26, 38, 34, 42}},
		{"seen from below", "210 0\n220 0\n230 -1\n", 1, 2, [4]float64{-32, 38, -28, 42}},
		{"in rows and columns", "50 90\n70 3\n71 2\n44 10\n45 20\n", 6, 2, [4]float64{28, 38, 32, 42}},
	} {
		d := drawn(t, blockFile(blockOf("H", holeOnNothing), inserted("h", c.more)), Millimetres)
		holes := d.On("holes")
		if len(holes) != c.holes || len(d.Shapes) != c.holes {
			t.Errorf("%s: %d shapes, %d on the layer of the insertion, want %d", c.name, len(d.Shapes), len(holes), c.holes)
			continue
		}
		if got := holes[0]; math.Abs(got.Radius-c.radius) > 1e-9 {
			t.Errorf("%s: radius %v, want %v", c.name, got.Radius, c.radius)
		}
		for i, v := range span(holes[0]) {
			if math.Abs(v-c.span[i]) > ChordError {
				t.Errorf("%s: lies at %v, want %v", c.name, span(holes[0]), c.span)
			}
		}
		if c.holes == 6 { // columns run along the turned block, rows to its left
			if got := span(holes[1]); math.Abs(got[1]-48) > ChordError || math.Abs(span(holes[3])[0]-8) > ChordError {
				t.Errorf("%s: the second at %v, the fourth at %v", c.name, got, span(holes[3]))
			}
		}
	}
}

// What stands for lines that are not in the drawing is said, not left out in
// silence, and blocks that wind into each other end.
func TestBlocksThatCannotBeFollowed(t *testing.T) {
	outside := strings.Replace(blockOf("X"), "70 0", "70 4", 1)
	for says, data := range map[string][]byte{
		"that is not in the drawing":   blockFile("", inserted("GONE", "")),
		"that is kept in another file": blockFile(outside, inserted("X", "")),
		"a block without size":         blockFile(blockOf("H", holeOnNothing), inserted("H", "41 0\n")),
	} {
		d := drawn(t, data, Millimetres)
		if s := d.Shapes[0]; len(d.Shapes) != 1 || !strings.Contains(s.Unread, says) || s.Points[0].X != 30 {
			t.Errorf("%+v, want it unread: %s", s, says)
		}
	}
	round := blockOf("A", strings.Replace(inserted("B", ""), "HOLES", "0", 1)) + blockOf("B", inserted("A", ""))
	var many strings.Builder
	for level := range 15 {
		many.WriteString(blockOf(fmt.Sprint("L", level), strings.Repeat(inserted(fmt.Sprint("L", level+1), ""), 10)))
	}
	for says, data := range map[string][]byte{
		"more than 16 deep":        blockFile(round, inserted("A", "")),
		"more than 20000 blocks":   blockFile(many.String()+blockOf("L15"), inserted("L0", "")),
		"more than the 200000 cor": blockFile(blockOf("H", strings.ReplaceAll(holeOnNothing, "40 2", "40 900")), inserted("H", "70 5000\n44 1\n")),
	} {
		if _, err := Read(data, Millimetres); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("Read = %v, want %q", err, says)
		}
	}
}

// The places of a spline lie on the curve: of a circle, which a rational spline of
// degree 2 is exactly (Piegl and Tiller, The NURBS Book, section 7.5, from memory).
func TestSplineOfACircle(t *testing.T) {
	w := math.Sqrt2 / 2
	text := "0 SPLINE\n8 EDGE\n70 12\n71 2\n"
	for _, knot := range []int{0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4} {
		text += fmt.Sprintf("40 %d\n", knot)
	}
	for i, p := range [][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}, {1, 0}} {
		text += fmt.Sprintf("10 %d\n20 %d\n41 %v\n", 80*p[0], 80*p[1], map[bool]float64{true: 1, false: w}[i%2 == 0])
	}
	s := drawn(t, file("", text), Millimetres).Shapes[0]
	if s.Unread != "" || !s.Closed {
		t.Fatalf("%+v", s)
	}
	for i, p := range s.Points {
		next := s.Points[(i+1)%len(s.Points)]
		if off := math.Abs(p.Length() - 80); off > 1e-9 {
			t.Errorf("a corner lies %v off the circle", off)
		}
		if sag := 80 - p.Add(next).Times(0.5).Length(); sag > ChordError {
			t.Errorf("a chord lies %v inside the circle", sag)
		}
	}
}

func TestSplinesThatCannotBeRead(t *testing.T) {
	for says, text := range map[string]string{
		"whose knots do not fit":          "0 SPLINE\n8 EDGE\n71 1\n40 0\n40 0\n40 0\n40 0\n10 0\n20 0\n10 9\n20 9\n",
		"says only where it goes through": "0 SPLINE\n8 EDGE\n71 3\n11 0\n21 0\n11 9\n21 9\n",
		"knots do not fit":                "0 SPLINE\n8 EDGE\n71 2\n40 0\n40 1\n10 0\n20 0\n10 1\n20 1\n10 2\n20 0\n",
		"an ellipse without size":         "0 ELLIPSE\n8 EDGE\n10 5\n20 5\n11 0\n21 0\n40 1\n",
	} {
		if s := drawn(t, file("", text), Millimetres).Shapes[0]; !strings.Contains(s.Unread, says) {
			t.Errorf("%q, want %q", s.Unread, says)
		}
	}
}

// Whatever a drawing holds is told: used, or left out and why, with the place of the
// first of a kind.
func TestAccountOfADrawing(t *testing.T) {
	onPaper := strings.Replace(line, "10 0", "67 1\n10 0", 1)
	d := drawn(t, blockFile(blockOf("H", holeOnNothing, words), line, line, onPaper, words, inserted("H", ""), inserted("H", "")), Millimetres)
	used, left := Sorted{Drawing: d, Outline: []string{"edge"}}.Account()
	var got []string
	for _, one := range slices.Concat(used, left) {
		got = append(got, fmt.Sprint(one.Kind.Of(one.Count), ", ", cmp.Or(one.Layer, "used"), ", ", one.At, ", ", one.Why))
	}
	want := []string{
		"2 lines, used, {0 0}, ",
		"2 circles, HOLES, {30 40}, its layer was not asked for",
		"1 line, EDGE, {0 0}, it lies on the paper, not in the drawing",
		"3 texts, EDGE, {0 0}, writing cuts nothing",
	}
	if !slices.Equal(got, want) {
		t.Errorf("the account is\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A drawing that names no unit is in doubt below 60 of whatever it is, and only then.
func TestDoubtfulUnits(t *testing.T) {
	for _, c := range []struct {
		long, header string
		given        Units
		want         bool
	}{
		{"59.9", "", NoUnits, true}, {"60", "", NoUnits, false},
		{"59.9", "9 $INSUNITS\n70 4\n", NoUnits, false}, {"59.9", "", Millimetres, false},
	} {
		d := drawn(t, file(c.header, strings.Replace(line, "11 100", "11 "+c.long, 1)), c.given)
		if d.Doubtful() != c.want {
			t.Errorf("%s long, %q, %q: in doubt %v", c.long, c.header, c.given, d.Doubtful())
		}
	}
	for unit, long := range map[string]float64{"5": 1000, "6": 100000} {
		if got := span(drawn(t, file("9 $INSUNITS\n70 "+unit+"\n", line), NoUnits).Shapes[0])[2]; math.Abs(got-long) > 1e-6 {
			t.Errorf("unit %s: 100 are %v mm, want %v", unit, got, long)
		}
	}
}

// A layer that is listed and empty is no mistake; one that nobody knows is.
func TestEmptyLayers(t *testing.T) {
	table := "0 ENDSEC\n0 SECTION\n2 TABLES\n0 TABLE\n2 LAYER\n0 LAYER\n2 DOWN\n70 0\n0 ENDTAB\n"
	d := drawn(t, file(table, line), Millimetres)
	for layer, known := range map[string]bool{"down": true, "edge": true, "up": false} {
		if _, err := (Sorted{Drawing: d}).strokes(layer); (err == nil) != known {
			t.Errorf("the layer %s: %v, want it known: %v", layer, err, known)
		}
	}
}

// A closed spline without clamped ends, which programs save with as many control
// points over again as its degree: at each knot a cubic one with even knots lies at a
// sixth of the sum of a control point, four times the next and the one after (the
// uniform cubic B-spline; de Boor, A Practical Guide to Splines, from memory).
func TestSplineWithoutClampedEnds(t *testing.T) {
	corners := [][2]float64{{0, 0}, {60, 0}, {60, 60}, {0, 60}}
	text := "0 SPLINE\n8 EDGE\n70 11\n71 3\n"
	for knot := range 11 {
		text += fmt.Sprintf("40 %d\n", knot)
	}
	for i := range 7 {
		text += fmt.Sprintf("10 %v\n20 %v\n", corners[i%4][0], corners[i%4][1])
	}
	s := drawn(t, file("", text), Millimetres).Shapes[0]
	if s.Unread != "" || !s.Closed {
		t.Fatalf("%+v", s)
	}
	for i := range corners {
		a, b, c := corners[i], corners[(i+1)%4], corners[(i+2)%4]
		want := geom.Point2{X: (a[0] + 4*b[0] + c[0]) / 6, Y: (a[1] + 4*b[1] + c[1]) / 6}
		if !slices.ContainsFunc(s.Points, func(p geom.Point2) bool { return p.Sub(want).Length() < 1e-9 }) {
			t.Errorf("the spline does not go through %v", want)
		}
	}
}

// What is round is found at its centre, other shapes where they begin.
func TestPlaceOfWhatIsCounted(t *testing.T) {
	begin, centre := geom.Point2{X: 1, Y: 2}, geom.Point2{X: 30, Y: 40}
	for _, test := range []struct {
		shape Shape
		want  geom.Point2
	}{
		{Shape{Kind: "LINE", Points: []geom.Point2{begin, {X: 9}}}, begin},
		{Shape{Kind: "CIRCLE", Centre: centre, Radius: 0.5}, centre},
		{Shape{Kind: "ARC", Centre: centre, Radius: 5, Points: []geom.Point2{begin, {X: 9}}}, centre},
		{Shape{Kind: "TEXT"}, geom.Point2{}},
	} {
		if got := test.shape.tally("", "").At; got != test.want {
			t.Errorf("%s is found at %v, want %v", test.shape.Kind, got, test.want)
		}
	}
}
