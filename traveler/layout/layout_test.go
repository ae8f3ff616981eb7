package layout

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"brakeside/calc/figures"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/dxf"
	"brakeside/traveler/letter"
)

// drafts are the blanks of the example parts.
func drafts(t *testing.T) map[string]*process.Plan {
	t.Helper()
	files, err := filepath.Glob("../../testdata/parts/*.json")
	if err != nil || len(files) < 12 {
		t.Fatalf("%d parts, %v", len(files), err)
	}
	out := map[string]*process.Plan{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		out[strings.TrimSuffix(filepath.Base(file), ".json")] = draft(t, string(data))
	}
	return out
}

func draft(t *testing.T, text string) *process.Plan {
	t.Helper()
	p, err := part.Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	plan, err := figures.Shop{}.Draft(p)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

func dimensioned(p *process.Plan) *draw.Page { return dimensionedIn(p, unit.Metric) }

func dimensionedIn(p *process.Plan, system unit.System) *draw.Page {
	return Dimensioned(traveler.FreezeBlank(p), traveler.FreezePart(p), system)
}

// written lists the words of a page.
func written(page *draw.Page) (out []string) {
	for _, m := range page.Marks {
		if t, ok := m.(draw.Text); ok {
			out = append(out, t.Words)
		}
	}
	return out
}

// By hand: a square L of t = r = 1 and K = 0.33 has its bend line 28 + 2.089/2 =
// 29.04 from the edge, and its blank is 100 by 68.09.
func TestWhatIsWrittenOnAnL(t *testing.T) {
	words := written(dimensioned(draft(t,
		`{"number":"RB-1","title":"Foot","revision":"C","material":"mild-steel","thickness":1,"inside_radius":1,"grain":"x",`+
			`"profile":{"length":100,"legs":[30,40],"bends":[90]},"holes":[{"face":"p1","at":[20,15],"diameter":6}]}`)))
	for _, want := range []string{"0.0", "20.0", "100.0", "29.0", "68.1", "Ø6", "legs 1-2 up 90.0°", "grain", "RB-1  rev C  Foot"} {
		if !slices.Contains(words, want) {
			t.Errorf("%q is not written; there is %q", want, words)
		}
	}
	if !slices.ContainsFunc(words, func(w string) bool {
		return strings.Contains(w, "both diagonals 121.0") && strings.Contains(w, "face A up, datum corner lower left")
	}) {
		t.Errorf("the heading lacks the diagonals or the face: %q", words)
	}
}

// box is the box around words that are level, or read upwards to where they are put.
func box(m draw.Text) (low, high draw.Point) {
	wide := letter.Width(m.Words, m.Face, m.Size)
	if m.MaxWidth > 0 {
		wide = math.Min(wide, m.MaxWidth)
	}
	if m.Turn != 0 {
		return draw.Point{X: m.X - 0.72*m.Size, Y: m.Y}, draw.Point{X: m.X, Y: m.Y + wide}
	}
	x := m.X
	switch m.Anchor {
	case draw.Centre:
		x -= wide / 2
	case draw.Right:
		x -= wide
	}
	return draw.Point{X: x, Y: m.Y - 0.72*m.Size}, draw.Point{X: x + wide, Y: m.Y}
}

// No word of the heading or the margin lies over another, and none leaves the
// page. Words in the blank stand beside what they name and may be close.
func TestWordsKeepApart(t *testing.T) {
	for name, p := range drafts(t) {
		for _, system := range []unit.System{unit.Metric, unit.Inch} {
			wordsKeepApart(t, fmt.Sprintf("%s in %s", name, system), traveler.FreezeBlank(p), dimensionedIn(p, system))
		}
	}
}

func wordsKeepApart(t *testing.T, name string, b traveler.Blank, page *draw.Page) {
	t.Helper()
	if err := page.Check(); err != nil {
		t.Errorf("%s: %v", name, err)
	}
	var texts []draw.Text
	for _, m := range page.Marks {
		text, ok := m.(draw.Text)
		if !ok || text.Turn != 0 && text.Anchor != draw.Right { // the others that are turned stand in the blank
			continue
		}
		low, high := box(text)
		if low.X < 0 || low.Y < 0 || high.X > page.Width || high.Y > page.Height {
			t.Errorf("%s: %q leaves the page", name, text.Words)
		}
		if text.Turn != 0 || high.Y < page.Height-mm(b.Height)-10 || high.X < page.Width-mm(b.Width) {
			texts = append(texts, text)
		}
	}
	for i, text := range texts {
		low, high := box(text)
		for _, other := range texts[:i] {
			l, h := box(other)
			if low.X < h.X && l.X < high.X && low.Y < h.Y && l.Y < high.Y {
				t.Errorf("%s: %q lies over %q", name, text.Words, other.Words)
			}
		}
	}
}

// The arrow of the grain lies beside the heading, whichever way it points.
func TestGrainStaysClearOfTheHeading(t *testing.T) {
	for _, grain := range []string{"x", "y"} {
		page := dimensioned(draft(t,
			`{"number":"A","material":"mild-steel","thickness":1,"grain":"`+grain+`","profile":{"length":40,"legs":[30,40],"bends":[90]}}`))
		arrows := 0
		for _, m := range page.Marks {
			arrow, ok := m.(draw.Line)
			if !ok || arrow.Arrows != draw.AtBoth {
				continue
			}
			arrows++
			if (arrow.Y1 == arrow.Y2) != (grain == "x") {
				t.Errorf("grain %s: the arrow runs from (%v, %v) to (%v, %v)", grain, arrow.X1, arrow.Y1, arrow.X2, arrow.Y2)
			}
			for _, other := range page.Marks[len(page.Marks)-5:] {
				if text, ok := other.(draw.Text); ok && text.Words != "grain" {
					if _, high := box(text); high.X > math.Min(arrow.X1, arrow.X2) && text.Y < arrow.Y2+text.Size && text.Turn == 0 {
						t.Errorf("grain %s: %q runs into the arrow", grain, text.Words)
					}
				}
			}
		}
		if arrows != 1 {
			t.Errorf("grain %s: %d arrows, want 1", grain, arrows)
		}
	}
}

func TestSpread(t *testing.T) {
	for _, test := range []struct {
		name   string
		values []unit.Micron
		least  float64
		want   []float64
	}{
		{"far apart", []unit.Micron{0, 10_000, 30_000}, -1, []float64{0, 10, 30}},
		{"two together", []unit.Micron{10_000, 11_000}, -1, []float64{8.5, 12.5}},
		{"three together", []unit.Micron{10_000, 11_000, 12_000}, -1, []float64{7, 11, 15}},
		{"one pushed by two", []unit.Micron{10_000, 10_000, 13_000}, -1, []float64{7, 11, 15}},
		{"not beyond the least", []unit.Micron{0, 1_000, 2_000, 12_000}, -1, []float64{-1, 3, 7, 12}},
		{"pushed on from the least", []unit.Micron{0, 1_000, 2_000, 9_000}, -1, []float64{-1, 3, 7, 11}},
		{"none", nil, -1, nil},
	} {
		t.Run(test.name, func(t *testing.T) {
			var got []float64
			for _, s := range spread(test.values, 4, test.least) {
				got = append(got, s.at)
			}
			if !slices.EqualFunc(got, test.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
				t.Errorf("spread %v = %v, want %v", test.values, got, test.want)
			}
		})
	}
}

func TestUphill(t *testing.T) {
	for in, want := range map[float64]float64{0: 0, 90: 90, -90: 90, 91: -89, 180: 0, -180: 0, -45: -45, 135: -45, 26.5: 26.5} {
		if got := uphill(in); math.Abs(got-want) > 1e-9 {
			t.Errorf("uphill(%v) = %v, want %v", in, got, want)
		}
	}
}

// What a cutting machine gets is the blank at full size, to the micrometre: read
// back from the file it has the area of the blank, its arcs as arcs, its bend
// lines on the layer of their direction, and ticks that lie on them.
func TestCutFilesAreExact(t *testing.T) {
	for name, p := range drafts(t) {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			frozen := traveler.FreezeBlank(p)
			if err := dxf.Write(&out, Ticked(frozen, 3000)); err != nil {
				t.Fatal(err)
			}
			d, err := dxf.Read(out.Bytes(), dxf.Millimetres)
			if err != nil {
				t.Fatal(err)
			}
			cutAsDrawn(t, p, d)
			bendsAsDrawn(t, p, d)
			got := strings.Count(out.String(), "\r\nARC\r\n") + strings.Count(out.String(), "\r\nCIRCLE\r\n")
			if want := len(frozen.Curves); got != want {
				t.Errorf("%d arcs and circles, want %d", got, want)
			}
		})
	}
}

// cutAsDrawn joins the cut lines into rings and compares the area they bound.
func cutAsDrawn(t *testing.T, p *process.Plan, d *dxf.Drawing) {
	t.Helper()
	low, high := geom.Bounds()
	length := 0.0
	for _, s := range d.On(dxf.Cut) {
		l, h := geom.Bounds(s.Points...)
		low, high = geom.Point2{X: min(low.X, l.X), Y: min(low.Y, l.Y)}, geom.Point2{X: max(high.X, h.X), Y: max(high.Y, h.Y)}
		for i, q := range s.Points[1:] {
			length += q.Sub(s.Points[i]).Length()
		}
		if s.Closed {
			length += s.Points[0].Sub(s.Points[len(s.Points)-1]).Length()
		}
	}
	want := 0.0
	for _, g := range p.Blank.Outline {
		for i, q := range g {
			want += g[(i+1)%len(g)].Sub(q).Length()
		}
	}
	if math.Abs(length-want) > 0.05+1e-4*want { // arcs are cut into other chords
		t.Errorf("the cuts are %.3f mm long, want %.3f", length, want)
	}
	if low.Length() > 0.002 || math.Abs(high.X-float64(p.Blank.Width)) > 0.002 || math.Abs(high.Y-float64(p.Blank.Height)) > 0.002 {
		t.Errorf("the cuts lie in %v to %v, want the origin and %v x %v", low, high, p.Blank.Width, p.Blank.Height)
	}
}

func bendsAsDrawn(t *testing.T, p *process.Plan, d *dxf.Drawing) {
	t.Helper()
	layer := map[bool]string{true: dxf.BendUp, false: dxf.BendDown}
	for _, j := range p.Blank.Joints {
		found := false
		for _, s := range d.On(layer[j.Up()]) {
			found = found || s.Points[0].Sub(j.Line[0]).Length()+s.Points[1].Sub(j.Line[1]).Length() < 0.002 ||
				s.Points[0].Sub(j.Line[1]).Length()+s.Points[1].Sub(j.Line[0]).Length() < 0.002
		}
		if !found {
			t.Errorf("bend %s at %v is not on the layer %s", j.ID, j.Line, layer[j.Up()])
		}
	}
	marks := d.On(dxf.Marks)
	if len(marks) != 2*len(p.Blank.Joints) {
		t.Errorf("%d ticks, want two for each of %d bends", len(marks), len(p.Blank.Joints))
	}
	for _, s := range marks {
		on := false
		for _, j := range p.Blank.Joints {
			line := geom.Polygon(j.Line[:])
			on = on || geom.Apart(geom.Polygon{s.Points[0]}, line) < 0.002 && geom.Apart(geom.Polygon{s.Points[1]}, line) < 0.002
		}
		if long := s.Points[1].Sub(s.Points[0]).Length(); !on || math.Abs(long-3) > 0.003 {
			t.Errorf("the tick %v is %v mm long and on a bend line: %v", s.Points, long, on)
		}
	}
}
