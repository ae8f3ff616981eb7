package unit

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/fault"
)

func TestParseMM(t *testing.T) {
	for _, test := range []struct {
		name   string
		text   string
		system System
		want   MM
	}{
		{"bare millimetres", "12.5", Metric, 12.5},
		{"millimetres", "12.5 mm", Metric, 12.5},
		{"millimetres in an inch drawing", "12.5mm", Inch, 12.5},
		{"bare inches", "0.5", Inch, 12.7},
		{"inches", "0.5in", Metric, 12.7},
		{"inches spelled out", "2 inches", Metric, 50.8},
		{"inch mark", `1/2"`, Metric, 12.7},
		{"two single marks", "3/8''", Metric, 9.525},
		{"mixed", "1 1/2 in", Metric, 38.1},
		{"mixed with a dash", "1-1/2 in", Metric, 38.1},
		{"fraction of a drawing in inches", "3/16", Inch, 4.7625},
		{"negative", "-2.5", Metric, -2.5},
		{"negative mixed", "-1 1/2 in", Metric, -38.1},
		{"plus", "+3", Metric, 3},
		{"spaces around", "  7 mm ", Metric, 7},
		{"capitals", "1 IN", Metric, 25.4},
		{"no nought before the point", ".5", Metric, 0.5},
		{"nought", "0", Metric, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := ParseMM(test.text, test.system)
			if err != nil || math.Abs(float64(got-test.want)) > 1e-12 {
				t.Errorf("ParseMM(%q, %v) = %v, %v, want %v", test.text, test.system, got, err, test.want)
			}
		})
	}
}

func TestParseMMRefuses(t *testing.T) {
	for _, text := range []string{
		"", " ", "mm", "in", "12,5", "1.2.3", "1/0", "1/2/3", "1 3/2 in", "1 1/2 1/2", "a", "1e3",
		"NaN", "Inf", "0x10", "1_000", "--1", "1 -1/2", "12 cm", "1e6 km", "1000001", "½",
		"99999999999999999999999999", "1 1", "1 0.5 in", "1.5 1/2",
	} {
		if got, err := ParseMM(text, Metric); fault.KindOf(err) != fault.Invalid {
			t.Errorf("ParseMM(%q) = %v, %v, want a refusal as invalid", text, got, err)
		}
	}
}

func FuzzParseMM(f *testing.F) {
	for _, seed := range []string{"12.5", "12.5 mm", `1/2"`, "1 1/2 in", "0.5in", "-3", "1-1/2", "1/0", "9999999 9/9"} {
		f.Add(seed, false)
		f.Add(seed, true)
	}
	f.Fuzz(func(t *testing.T, text string, inches bool) {
		system := Metric
		if inches {
			system = Inch
		}
		length, err := ParseMM(text, system)
		if err != nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Fatalf("ParseMM(%q) refuses with %v, not as invalid", text, err)
			}
			return
		}
		if !(math.Abs(float64(length)) <= 1e6) {
			t.Fatalf("ParseMM(%q) = %v, farther than a kilometre", text, length)
		}
		written := strconv.FormatFloat(float64(length), 'f', -1, 64) + " mm"
		again, err := ParseMM(written, system)
		if err != nil || again != length {
			t.Fatalf("ParseMM(%q) = %v, written %q, reads %v, %v", text, length, written, again, err)
		}
	})
}

func TestFraction64(t *testing.T) {
	for _, test := range []struct {
		length MM
		want   string
	}{
		{0, `0"`}, {12.7, `1/2"`}, {25.4, `1"`}, {38.1, `1 1/2"`}, {1.5875, `1/16"`}, {0.396875, `1/64"`},
		{0.19, `0"`}, {0.2, `1/64"`}, {-12.7, `-1/2"`}, {-0.1, `0"`}, {25.3, `1"`}, {-30.1625, `-1 3/16"`},
	} {
		if got := Fraction64(test.length); got != test.want {
			t.Errorf("Fraction64(%v) = %s, want %s", test.length, got, test.want)
		}
	}
}

// The fraction printed is never more than 1/128 in from the length, and reads
// back as what it says.
func TestFraction64IsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := MM(rapid.Float64Range(-3000, 3000).Draw(t, "length"))
		read, err := ParseMM(Fraction64(length), Metric)
		if err != nil || math.Abs(float64(read-length)) > 25.4/128+1e-9 {
			t.Fatalf("Fraction64(%v) = %s, which reads %v, %v", length, Fraction64(length), read, err)
		}
	})
}

func TestRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := MM(rapid.Float64Range(-1e5, 1e5).Draw(t, "length"))
		if back := MM(length.Inches()) * PerInch; math.Abs(float64(back-length)) > 1e-9 {
			t.Errorf("%v mm is %v in is %v mm", length, length.Inches(), back)
		}
		if m := length.Micron(); m.MM().Micron() != m {
			t.Errorf("%v frozen is %v, thawed and frozen %v", length, m, m.MM().Micron())
		}
		angle := Deg(rapid.Float64Range(-360, 360).Draw(t, "angle"))
		if back := FromRad(angle.Rad()); math.Abs(float64(back-angle)) > 1e-12 {
			t.Errorf("%v degrees is %v rad is %v degrees", angle, angle.Rad(), back)
		}
		if c := angle.CentiDeg(); c.Deg().CentiDeg() != c {
			t.Errorf("%v frozen is %v, thawed and frozen %v", angle, c, c.Deg().CentiDeg())
		}
		if whole := Deg(rapid.IntRange(0, 180).Draw(t, "whole")); Opening(Opening(whole)) != whole {
			t.Errorf("Opening(Opening(%v)) = %v", whole, Opening(Opening(whole)))
		}
	})
}

func TestText(t *testing.T) {
	for _, test := range []struct {
		name string
		got  string
		want string
	}{
		{"half goes away from nought", MM(2.675).Text(2), "2.68"},
		{"negative half", MM(-0.05).Text(1), "-0.1"},
		{"no minus nought", MM(-0.04).Text(1), "0.0"},
		{"angle", Deg(92.25).Text(1), "92.3"},
		{"frozen length", Micron(83130).Text(2), "83.13"},
		{"frozen angle", CentiDeg(9000).Text(0), "90"},
		{"metric", Metric.String(), "mm"},
		{"inch", Inch.String(), "in"},
	} {
		if test.got != test.want {
			t.Errorf("%s: %s, want %s", test.name, test.got, test.want)
		}
	}
}

func ExampleParseMM() {
	length, err := ParseMM("1 1/2 in", Metric)
	fmt.Println(length.Text(1), Fraction64(length), err)
	// Output: 38.1 1 1/2" <nil>
}
