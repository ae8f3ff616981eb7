package flat_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/part"
)

// star is a plate with a flange whose edge is a half circle of n corners that
// wave in and out: of all outlines the one with the most pieces.
func star(n int) drawn {
	corners := []float64{0, 50, 1000, 50}
	for i := range n - 2 {
		sin, cos := math.Sincos(math.Pi * (float64(i) + 0.5) / float64(n-2))
		r := 500 + 3*float64(i%2)
		corners = append(corners, 500+r*cos, 60+r*sin)
	}
	return drawn{
		faces: []string{rectangle("plate", 0, 0, 1000, 50), face("flange", corners...)},
		bends: []string{bendLine("b", "plate flange", 0, 50, 1000, 50)},
	}
}

// The outline of the most pieces is worked out too; BenchmarkStar tells how fast.
func TestStar(t *testing.T) {
	b := develop(t, star(part.MostVertices-4).text())
	if got := len(b.Outline[0]); got < part.MostVertices-10 {
		t.Errorf("the outline has %d corners", got)
	}
	near(t, "area", b.Area(), areas(b), 1)
	near(t, "flats and zones", solidAreas(b), b.Area(), 1)
}

// Names may be of any script, and sizes of any digits; what is larger than can be
// meant is refused when it is read, with its place.
func TestHostileParts(t *testing.T) {
	named := drawn{faces: []string{rectangle("Wanne-ä-碟", 0, 0, 100, 50), rectangle("ребро", 0, 50, 100, 90)}, bends: []string{bendLine("ß", "Wanne-ä-碟 ребро", 0, 50, 100, 50)}}
	b := develop(t, strings.Replace(named.text(), `"number":"T"`, `"number":"Т-1","title":"滴水盘 🙂"`, 1))
	if b.Faces[0].ID != "Wanne-ä-碟" || b.Joints[0].ID != "ß" || b.FaceIndex("ребро") != 1 {
		t.Errorf("faces %q and %q, bend %q", b.Faces[0].ID, b.Faces[1].ID, b.Joints[0].ID)
	}
	if r := refusal(t, strings.Replace(named.text(), `"line":[[0,50],[100,50]]`, `"line":[[0,45],[100,45]]`, 1)); !utf8.ValidString(r.Message) || !strings.Contains(r.Message, "Wanne-ä-碟") {
		t.Errorf("the refusal %q does not name the face", r.Message)
	}
	for _, test := range []struct{ name, text, field string }{
		{"a corner 1e12 away", drawn{faces: []string{rectangle("plate", 0, 0, 1e12, 50), flange}, bends: []string{edge}}.text(), "flat.faces[0].outline[1][0]"},
		{"a leg of 1e12", header + `"profile":{"length":100,"legs":[30,1e12],"bends":[90]}}`, "profile.legs[1]"},
		{"a base of 1e12", header + `"tray":{"base":[1e12,50],"walls":{"left":[{"leg":20}]}}}`, "tray.base[0]"},
		{"a hole of 1e12", header + `"profile":{"length":100,"legs":[30,40],"bends":[90]},"holes":[{"face":"p0","at":[10,10],"diameter":1e12}]}`, "holes[0].diameter"},
		{"more corners than are read", comb(part.MostVertices + 8).text(), "flat.faces[1].outline"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := part.Read([]byte(test.text))
			var r *fault.Refusal
			if !errors.As(err, &r) || r.Kind != fault.Invalid && r.Kind != fault.TooLarge || r.Field != test.field || r.Line != 1 {
				t.Errorf("Read = %v, want a refusal on %q", err, test.field)
			}
		})
	}
}

func BenchmarkStar(b *testing.B) {
	for _, n := range []int{1000, part.MostVertices - 4} {
		p := readPart(b, star(n).text())
		s := sheet(b, 1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := flat.Develop(p, s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
