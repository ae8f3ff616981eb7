package dxf

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/geom"
)

// file is a drawing with a header of its own and some entities, each line of the
// text a pair "code value".
func file(header string, entities ...string) []byte {
	text := "0 SECTION\n2 HEADER\n" + header + "0 ENDSEC\n0 SECTION\n2 ENTITIES\n" + strings.Join(entities, "") + "0 ENDSEC\n0 EOF\n"
	var out strings.Builder
	for _, pair := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		code, value, _ := strings.Cut(pair, " ")
		fmt.Fprintf(&out, "%3s\n%s\n", code, value)
	}
	return []byte(out.String())
}

const (
	line   = "0 LINE\n8 EDGE\n10 0\n20 0\n11 100\n21 0\n"
	circle = "0 CIRCLE\n8 EDGE\n10 50\n20 40\n40 5\n"
	arc    = "0 ARC\n8 EDGE\n10 0\n20 0\n40 10\n50 270\n51 90\n"
	light  = "0 LWPOLYLINE\n8 EDGE\n90 3\n70 1\n10 0\n20 0\n42 1\n10 10\n20 0\n10 10\n20 10\n"
	old    = "0 POLYLINE\n8 EDGE\n66 1\n70 1\n0 VERTEX\n8 EDGE\n10 0\n20 0\n0 VERTEX\n8 EDGE\n10 5\n20 0\n" +
		"0 VERTEX\n8 EDGE\n10 5\n20 5\n0 SEQEND\n"
	spline  = "0 SPLINE\n8 EDGE\n70 8\n10 7\n20 9\n10 8\n20 9\n"
	words   = "0 TEXT\n8 EDGE\n10 0\n20 0\n40 3\n1 hello\n"
	inSpace = "0 CIRCLE\n8 EDGE\n10 0\n20 0\n40 5\n210 0\n220 0.6\n230 0.8\n"
	fitted  = "0 POLYLINE\n8 EDGE\n66 1\n70 4\n0 VERTEX\n70 16\n10 0\n20 9\n0 VERTEX\n70 8\n10 1\n20 1\n" +
		"0 VERTEX\n70 8\n10 2\n20 1\n0 SEQEND\n"
	reversed = "0 LWPOLYLINE\n8 EDGE\n90 2\n70 0\n10 0\n20 0\n42 -1\n10 10\n20 0\n"
)

func drawn(t *testing.T, data []byte, given Units) *Drawing {
	t.Helper()
	d, err := Read(data, given)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// span is the box around a shape.
func span(s Shape) [4]float64 {
	low, high := geom.Bounds(s.Points...)
	return [4]float64{low.X, low.Y, high.X, high.Y}
}

func TestShapes(t *testing.T) {
	for _, test := range []struct {
		name, text string
		kind       string
		closed     bool
		fewest     int
		span       [4]float64
	}{
		{"line", line, "LINE", false, 2, [4]float64{0, 0, 100, 0}},
		{"circle", circle, "CIRCLE", true, 24, [4]float64{45, 35, 55, 45}},
		{"arc over the axis", arc, "ARC", false, 12, [4]float64{0, -10, 10, 10}},
		{"closed polyline with a half circle below its first edge", light, "LWPOLYLINE", true, 14, [4]float64{0, -5, 10, 10}},
		{"the same, open, above", reversed, "LWPOLYLINE", false, 12, [4]float64{0, 0, 10, 5}},
		{"polyline of release 12", old, "POLYLINE", true, 3, [4]float64{0, 0, 5, 5}},
		{"a fitted polyline without what steers it", fitted, "POLYLINE", false, 2, [4]float64{1, 1, 2, 1}},
	} {
		t.Run(test.name, func(t *testing.T) {
			d := drawn(t, file("", test.text), NoUnits)
			if len(d.Shapes) != 1 {
				t.Fatalf("%d shapes", len(d.Shapes))
			}
			s := d.Shapes[0]
			if s.Kind != test.kind || s.Closed != test.closed || s.Layer != "EDGE" || s.Unread != "" || len(s.Points) < test.fewest {
				t.Errorf("%+v", s)
			}
			for i, want := range test.span {
				if got := span(s)[i]; math.Abs(got-want) > ChordError {
					t.Errorf("the box is %v, want %v", span(s), test.span)
				}
			}
		})
	}
}

// The corners of the chords lie on the arc, and no chord farther inside it than
// is said.
func TestChordsKeepToTheArc(t *testing.T) {
	for _, radius := range []float64{0.5, 5, 80, 4000} {
		d := drawn(t, file("", fmt.Sprintf("0 CIRCLE\n8 EDGE\n10 3\n20 4\n40 %v\n", radius)), NoUnits)
		s := d.Shapes[0]
		for i, p := range s.Points {
			q := s.Points[(i+1)%len(s.Points)]
			if off := p.Sub(s.Centre).Length() - radius; math.Abs(off) > 1e-9 {
				t.Fatalf("radius %v: a corner lies %v off the circle", radius, off)
			}
			if sag := radius - p.Add(q).Times(0.5).Sub(s.Centre).Length(); sag > ChordError+1e-9 {
				t.Fatalf("radius %v: a chord lies %v inside the circle", radius, sag)
			}
		}
	}
}

func TestUnits(t *testing.T) {
	for _, test := range []struct {
		name, header string
		given, want  Units
		long         float64
	}{
		{"not named", "", NoUnits, NoUnits, 100},
		{"not named, told to be inches", "", Inches, Inches, 2540},
		{"named as inches", "9 $INSUNITS\n70 1\n", NoUnits, Inches, 2540},
		{"named as inches behind other words", "9 $ACADVER\n1 AC1009\n9 $INSUNITS\n70 1\n", Millimetres, Inches, 2540},
		{"named as millimetres", "9 $INSUNITS\n70 4\n", Inches, Millimetres, 100},
		{"named as none", "9 $INSUNITS\n70 0\n", Inches, Inches, 2540},
	} {
		t.Run(test.name, func(t *testing.T) {
			d := drawn(t, file(test.header, line), test.given)
			if d.Units != test.want {
				t.Errorf("the unit is %q, want %q", d.Units, test.want)
			}
			if got := span(d.Shapes[0])[2]; math.Abs(got-test.long) > 1e-9 {
				t.Errorf("the line is %v mm long, want %v", got, test.long)
			}
		})
	}
}

// What cannot be used is listed with its reason and the row, and does not stand
// in the way of the rest.
func TestUnread(t *testing.T) {
	d := drawn(t, file("", line, spline, inSpace, words), NoUnits)
	if len(d.Shapes) != 3 {
		t.Fatalf("%d shapes, want the line, the spline and the circle", len(d.Shapes))
	}
	for i, says := range []string{"", "is a spline whose knots do not fit", "a plane of its own"} {
		if s := d.Shapes[i]; !strings.Contains(s.Unread, says) || (s.Unread == "") != (says == "") {
			t.Errorf("%s: %q, want %q", s.Kind, s.Unread, says)
		}
	}
	if got := d.Shapes[1]; got.Points[0] != (geom.Point2{X: 7, Y: 9}) || got.Row != 23 {
		t.Errorf("the spline is at %v, row %d", got.Points[0], got.Row)
	}
	if got := strings.Join(d.Layers(), " "); got != "EDGE" || len(d.On("edge")) != 3 || len(d.On("other")) != 0 {
		t.Errorf("layers %q", got)
	}
}

func TestReadRefuses(t *testing.T) {
	for _, test := range []struct {
		name string
		data []byte
		says string
		row  int
	}{
		{"nothing", nil, "no section", 0},
		{"words", []byte("Dear shop,\nplease bend this.\n"), "a group code, a whole number, was expected", 1},
		{"the binary form", []byte("AutoCAD Binary DXF\r\n\x1a\x00"), "binary form", 0},
		{"cut off in a pair", []byte("0\nSECTION\n2\n"), "ends in the middle of a pair", 3},
		{"feet", file("9 $INSUNITS\n70 2\n", line), `unit "2"; save it in mm (4), cm (5), m (6) or inches (1)`, 8},
		{"no number", file("", "0 LINE\n8 EDGE\n10 abc\n20 0\n11 1\n21 1\n"), `"abc" is no number`, 16},
		{"a number too large", file("", "0 LINE\n8 EDGE\n10 1e12\n20 0\n11 1\n21 1\n"),
			`"1e12" is no number that a drawing of a blank can hold`, 16},
		{"endless", file("", "0 LINE\n8 EDGE\n10 NaN\n20 0\n11 1\n21 1\n"), `"NaN" is no number`, 16},
		{"too many corners", file("", strings.Repeat("0 CIRCLE\n8 EDGE\n10 0\n20 0\n40 1e6\n", 101)), "more than the 200000 corners", 0},
		{"too many bytes", make([]byte, MaxBytes+1), "more than the 16777216", 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Read(test.data, NoUnits)
			var r *fault.Refusal
			if !errors.As(err, &r) || r.Kind != fault.Invalid && r.Kind != fault.TooLarge {
				t.Fatalf("Read = %v, want a refusal", err)
			}
			if !strings.Contains(r.Message, test.says) || r.Line != test.row {
				t.Errorf("refused with row %d: %q, want row %d and %q", r.Line, r.Message, test.row, test.says)
			}
		})
	}
}

// What is written is read back: the same places on the same layers.
func TestReadsWhatIsWritten(t *testing.T) {
	d := drawn(t, written(t, blank()), NoUnits)
	if got := strings.Join(d.Layers(), " "); got != "CUT BEND_UP BEND_DOWN MARKS" {
		t.Errorf("layers %q", got)
	}
	cut := d.On(Cut)
	if got := span(cut[0]); got != [4]float64{10, 10, 110.123456789, 70} || !cut[0].Closed {
		t.Errorf("the outline is read as %v", cut[0])
	}
	if cut[1].Centre != (geom.Point2{X: 30, Y: 55}) || cut[1].Radius != 2.5 {
		t.Errorf("the hole is read as %+v", cut[1])
	}
	if got := d.On(BendUp)[0].Points; got[0] != (geom.Point2{X: 10, Y: 50}) || got[1] != (geom.Point2{X: 110, Y: 50}) {
		t.Errorf("the bend line is read as %v", got)
	}
}

// FuzzRead: whatever is fed in, there is a drawing of finite places or a refusal
// that is no mistake of the program.
func FuzzRead(f *testing.F) {
	f.Add(file("", line, circle, arc, light, old, spline, words, inSpace, fitted, reversed))
	f.Add(file("9 $INSUNITS\n70 1\n", line))
	f.Add([]byte("0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n0\nVERTEX"))
	f.Add([]byte("999\n\xff\xfe\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Read(data, NoUnits)
		if err != nil {
			var r *fault.Refusal
			if !errors.As(err, &r) || r.Kind == fault.Internal || r.Message == "" {
				t.Fatalf("Read = %v, want a refusal with a message", err)
			}
			return
		}
		for _, s := range d.Shapes {
			for _, p := range s.Points {
				if !(math.Abs(p.X) < 1e12 && math.Abs(p.Y) < 1e12) {
					t.Errorf("%s at row %d reaches to %v", s.Kind, s.Row, p)
				}
			}
		}
	})
}
