package entry

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"testing"

	"brakeside/calc/part"
)

// line is a LINE of a drawing.
func line(layer string, x1, y1, x2, y2 int) string {
	return fmt.Sprintf("0\nLINE\n8\n%s\n10\n%d\n20\n%d\n11\n%d\n21\n%d\n", layer, x1, y1, x2, y2)
}

// drawnForm is the form of a strip of 100 by 60 with two bends.
func drawnForm(t testing.TB) url.Values {
	t.Helper()
	text := "0\nSECTION\n2\nENTITIES\n" + line("CUT", 0, 0, 100, 0) + line("CUT", 100, 0, 100, 60) + line("CUT", 100, 60, 0, 60) +
		line("CUT", 0, 60, 0, 0) + line("BEND_UP", 30, 0, 30, 60) + line("BEND_DOWN", 70, 0, 70, 60) + "0\nENDSEC\n0\nEOF\n"
	form := url.Values{"text": {text}, "number": {"DT-310"}, "material": {"mild-steel"}, "thickness": {"1.5"}}
	if _, err := Layers(form); err != nil {
		t.Fatal(err)
	}
	return form
}

func TestSuggestedMeanings(t *testing.T) {
	for name, want := range map[string]string{
		"CUT": edgeLayer, "BEND_UP": upLayer, "BEND_DOWN": downLayer, "Outline": edgeLayer, "bend lines": upLayer,
		"Fold dn": downLayer, "MARKS": nothingLayer, "0": nothingLayer, "outer contour": edgeLayer, "Holes": edgeLayer, "OPENINGS": edgeLayer, "slot": edgeLayer,
	} {
		if got := suggested(name); got != want {
			t.Errorf("suggested(%q) = %q, want %q", name, got, want)
		}
	}
}

// The drawing that the program writes is a part again, with sizes in the unit
// they are typed in.
func TestDrawn(t *testing.T) {
	for name, c := range map[string]struct{ units, thickness string }{"mm": {"mm", "1.5"}, "inches": {"in", "0.0591"}, "a fraction": {"mm", "1/16 in"}} {
		form := drawnForm(t)
		form.Set("units", c.units)
		form.Set("thickness", c.thickness)
		drawn, err := Drawn(form)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		p, err := part.Read(drawn.File)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if len(drawn.Bends) != 2 || len(p.Flat.Bends) != 2 {
			t.Errorf("%s: bends %q, the part has %d", name, drawn.Bends, len(p.Flat.Bends))
		}
		if d := float64(p.Thickness) - 1.5; d < -0.1 || d > 0.1 {
			t.Errorf("%s: thickness %v, want about 1.5", name, p.Thickness)
		}
	}
}

func TestDrawnAngles(t *testing.T) {
	form := drawnForm(t)
	form.Set("angle", "60")
	form.Set(BendField("b1"), "-30")
	drawn, err := Drawn(form)
	if err != nil {
		t.Fatal(err)
	}
	p, err := part.Read(drawn.File)
	if err != nil {
		t.Fatal(err)
	}
	var angles []string
	for _, b := range p.Flat.Bends {
		angles = append(angles, b.ID+" "+b.Angle.Text(0))
	}
	if want := []string{"b1 -30", "b2 -60"}; !slices.Equal(angles, want) {
		t.Errorf("the angles are %q, want %q: the first is turned over, the second lies on the layer that folds down", angles, want)
	}
}

func TestDrawnRefusals(t *testing.T) {
	for field, value := range map[string]string{"text": "", "thickness": "thick", "angle": "0", "bend[b1]": "180", "inside_radius": "-1"} {
		form := drawnForm(t)
		form.Set(field, value)
		if drawn, err := Drawn(form); err == nil {
			t.Errorf("%s = %q gives %s, want it refused", field, value, drawn.File)
		} else if !strings.Contains(err.Error(), field) {
			t.Errorf("%s = %q is refused without its name: %v", field, value, err)
		}
	}
}

// No drawing and no answers make the form fail in another way than by a refusal.
func FuzzDrawn(f *testing.F) {
	form := drawnForm(f)
	f.Add(form.Get("text"), "outline", "90")
	f.Add("0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", "up", "-1")
	f.Fuzz(func(t *testing.T, text, meaning, angle string) {
		form := url.Values{"text": {text}, "number": {"N"}, "material": {"304"}, "thickness": {"1"}, "angle": {angle}, LayerField(0): {meaning}}
		if _, err := Layers(form); err != nil {
			return
		}
		if drawn, err := Drawn(form); err == nil && len(drawn.File) == 0 {
			t.Error("neither a part nor a refusal")
		}
	})
}

// A drawing so small that it may be in inches must say so; what was left out of it
// is told also while it is refused.
func TestDrawnInDoubt(t *testing.T) {
	form := drawnForm(t)
	form.Set("text", strings.NewReplacer("100", "50", "60", "30", "70", "35", "\n30\n", "\n15\n").Replace(form.Get("text")))
	form.Set(LayerField(2), nothingLayer)
	drawn, err := Drawn(form)
	if err == nil || !strings.Contains(err.Error(), "drawn_in") || !strings.Contains(err.Error(), "is 50 by 30") {
		t.Errorf("a drawing of 50 by 30 that names no unit: %v, want its unit asked", err)
	}
	if len(drawn.Used) != 1 || len(drawn.Left) != 1 || drawn.Left[0].Layer != "BEND_DOWN" {
		t.Errorf("used %v, left out %v, want the lines of the third layer left out", drawn.Used, drawn.Left)
	}
	for _, unit := range []string{"mm", "in"} {
		form.Set("drawn_in", unit)
		if _, err := Drawn(form); err != nil {
			t.Errorf("drawn in %s: %v", unit, err)
		}
	}
}
