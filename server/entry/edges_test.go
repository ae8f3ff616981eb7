package entry

import (
	"fmt"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// partOf is the part that a form makes.
func partOf(t *testing.T, form url.Values) part.Part {
	t.Helper()
	form.Set("number", "X-1")
	file, err := File(form)
	if err != nil {
		t.Fatal(err)
	}
	p, err := part.Read(file)
	if err != nil {
		t.Fatalf("Read(%s) = %v", file, err)
	}
	return p
}

// Each edge of a wall makes the entry of the part file that says it.
func TestEdgesOfATray(t *testing.T) {
	for _, c := range []struct {
		edge, size, angle string
		want              []part.Wall
	}{
		{"plain", "8", "", nil}, // what was typed for another edge is left alone
		{"lip-in", "12", "", []part.Wall{{Leg: 12, Angle: 90}}},
		{"lip-in", "12", "60", []part.Wall{{Leg: 12, Angle: 60}}},
		{"lip-out", "12", "", []part.Wall{{Leg: 12, Angle: -90}}},
		{"open", "8", "60", []part.Wall{{Leg: 8, Angle: 180, Hem: part.OpenHem}}},
		{"closed", "8", "", []part.Wall{{Leg: 8, Angle: 180, Hem: part.ClosedHem}}},
		{"open-under", "8", "", []part.Wall{{Leg: 8, Angle: -180, Hem: part.OpenHem}}},
		{"closed-under", "8", "", []part.Wall{{Leg: 8, Angle: -180, Hem: part.ClosedHem}}},
	} {
		form := Example(KindOf("tray"))
		form.Set(WallEdge("front"), c.edge)
		form.Set("tray.walls.front[1].leg", c.size)
		form.Set("tray.walls.front[1].angle", c.angle)
		got := partOf(t, form).Tray.Walls[part.Front]
		want := append([]part.Wall{{Leg: 40, Angle: 90}}, c.want...)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s %s %s: -want, +got:\n%s", c.edge, c.size, c.angle, diff)
		}
	}
	form := Example(KindOf("tray"))
	form.Set(WallEdge("left"), "closed")
	if _, err := File(form); fault.KindOf(err) != fault.Invalid || !strings.Contains(err.Error(), "missing") {
		t.Errorf("a hem without a width: %v", err)
	}
	form.Set(WallEdge("left"), "rolled")
	form.Set("tray.walls.left[1].leg", "8")
	if _, err := File(form); fault.KindOf(err) != fault.Invalid {
		t.Errorf("an edge that there is not: %v", err)
	}
}

// A form of before there were edges has a lip where its width is typed.
func TestLipsWithoutAnEdge(t *testing.T) {
	form := Example(KindOf("tray"))
	for _, side := range Sides {
		form.Del(WallEdge(side))
	}
	form.Set("tray.walls.back[1].leg", "15")
	form.Set("tray.walls.back[1].angle", "80")
	form.Set("tray.walls.back[1].angle.way", "down")
	walls := partOf(t, form).Tray.Walls
	if got := walls[part.Back]; len(got) != 2 || got[1].Angle != -80 || len(walls[part.Left]) != 1 {
		t.Errorf("walls = %+v", walls)
	}
}

// All sides alike takes the fields of the left one; each by itself begins with them.
func TestAlike(t *testing.T) {
	form := Example(KindOf("tray"))
	for _, side := range Sides[1:] {
		for name := range form {
			if strings.HasPrefix(name, "tray.walls."+side) {
				form.Del(name)
			}
		}
	}
	form.Set(AlikeField, "yes")
	form.Set(WallEdge("left"), "closed")
	form.Set("tray.walls.left[1].leg", "8")
	check := func(name string) {
		t.Helper()
		for side, chain := range partOf(t, form).Tray.Walls {
			if len(chain) != 2 || chain[1].Hem != part.ClosedHem {
				t.Errorf("%s: the %s side is %+v, want the wall and the hem of the left one", name, side, chain)
			}
		}
	}
	check("alike")
	form.Set(AlikeField, "")
	form.Set(ShownField, "left")
	check("not alike any more, not drawn since")
	Spread(form)
	check("spread")
	form.Set(WallEdge("back"), "plain")
	if got := partOf(t, form).Tray.Walls[part.Back]; len(got) != 1 {
		t.Errorf("a side by itself is %+v", got)
	}
}

// Ends of a profile: a lip is one more leg, a hem makes walls on the longest leg.
func TestEdgesOfAProfile(t *testing.T) {
	form := Example(KindOf("u")) // 40 60 60
	form.Set("profile.legs[1]", "80")
	form.Set(ProfileEdge(0), "lip-out")
	form.Set(ProfileEdge(0)+".leg", "12")
	form.Set(ProfileEdge(1), "lip-in")
	form.Set(ProfileEdge(1)+".leg", "15")
	form.Set(ProfileEdge(1)+".angle", "45")
	p := partOf(t, form)
	want := &part.Profile{Length: 400, Legs: []unit.MM{12, 40, 80, 60, 15}, Bends: []unit.Deg{-90, 90, 90, 45}}
	if diff := cmp.Diff(want, p.Profile); diff != "" {
		t.Errorf("with lips, -want, +got:\n%s", diff)
	}
	form.Set(ProfileEdge(0), "closed")
	form.Set(ProfileEdge(0)+".leg", "8")
	tray := partOf(t, form).Tray
	wantWalls := map[part.Side][]part.Wall{
		part.Front: {{Leg: 40, Angle: 90}, {Leg: 8, Angle: 180, Hem: part.ClosedHem}},
		part.Back:  {{Leg: 60, Angle: 90}, {Leg: 15, Angle: 45}},
	}
	if tray == nil || tray.BaseX != 400 || tray.BaseY != 80 {
		t.Fatalf("with a hem the part is %+v, want walls on the leg of 80", tray)
	}
	if diff := cmp.Diff(wantWalls, tray.Walls, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("with a hem, -want, +got:\n%s", diff)
	}
	long := Example(KindOf("hat")) // 25 30 80 30 25
	long.Set(ProfileEdge(1), "open-under")
	long.Set(ProfileEdge(1)+".leg", "10")
	long.Set("number", "X-1")
	file, err := File(long)
	if err != nil {
		t.Fatal(err)
	}
	shown, whole := Form(file)
	again, err := File(shown)
	if !whole || err != nil || string(again) != string(file) || shown.Get("profile.legs[4]") != "25" || shown.Get(ProfileEdge(1)) != "open-under" {
		t.Errorf("a hemmed hat is shown as %v, whole %v, and makes %s, %v, want %s", shown, whole, again, err, file)
	}
}

// The offset of a jog, worked out by plain geometry: between the faces of one side the
// leg is offset / sin(angle); over all it is longer by thickness * tan(angle / 2), so
// that at 90 degrees it is offset and thickness (no source but the drawing).
func TestJog(t *testing.T) {
	for _, c := range []struct {
		offset, angle, thickness float64
		outside, inside          float64
	}{
		{10, 90, 1.5, 11.5, 10},
		{10, 45, 1.5, 14.142136 + 0.621320, 14.142136},
		{12, 60, 1, 13.856406 + 0.577350, 13.856406},
		{5, 30, 2, 10 + 0.535898, 10},
	} {
		for sizes, want := range map[string]float64{"outside": c.outside, "inside": c.inside} {
			form := Example(KindOf(JogKind))
			for name, v := range map[string]float64{JogOffset: c.offset, JogAngle: c.angle, "thickness": c.thickness} {
				form.Set(name, fmt.Sprint(v))
			}
			form.Set("sizes", sizes)
			p := partOf(t, form)
			if got := float64(p.Profile.Legs[1]); math.Abs(got-want) > 2e-6 {
				t.Errorf("jog of %v at %v°, %v thick, %s: leg %v, want %v", c.offset, c.angle, c.thickness, sizes, got, want)
			}
			if b := p.Profile.Bends; b[0] != unit.Deg(c.angle) || b[1] != -unit.Deg(c.angle) {
				t.Errorf("bends are %v", b)
			}
		}
	}
	for field, value := range map[string]string{JogOffset: "", JogAngle: "91", "thickness": ""} {
		form := Example(KindOf(JogKind))
		form.Set(field, value)
		if r, ok := func() (*fault.Refusal, bool) { _, err := File(form); r, ok := err.(*fault.Refusal); return r, ok }(); !ok || r.Field != field {
			t.Errorf("%s = %q is refused as %v", field, value, r)
		}
	}
	gauge := Example(KindOf(JogKind)) // the sheet may be given by its gauge
	gauge.Set("thickness", "")
	gauge.Set("gauge", "16")
	// 16 gauge of mild steel is 0.0598 in: Manufacturers' Standard Gauge.
	const thick = 0.0598 * 25.4
	p := partOf(t, gauge)
	if want := 14.142136 + thick*math.Tan(math.Pi/8); math.Abs(float64(p.Profile.Legs[1])-want) > 1e-3 {
		t.Errorf("leg of gauge 16 is %v, want %v", p.Profile.Legs[1], want)
	}
}

// Holes are typed one a line; what cannot be one says which line and what would be.
func TestHoles(t *testing.T) {
	form := Example(KindOf("tray"))
	form.Set(HolesField, "base 20 30 6.5\n\nleft, 10, 12, 1/4 in\n")
	if _, err := File(form); err == nil || !strings.Contains(err.Error(), "Line 3 has 5 words") {
		t.Errorf("a blank in a length: %v", err)
	}
	form.Set(HolesField, "base 20 30 6.5\n\nleft;10;12;0.25in")
	form.Set("number", "X-1")
	holes := partOf(t, form).Holes
	if len(holes) != 2 || holes[0].Diameter != 6.5 || holes[1].Face != "left" || math.Abs(float64(holes[1].Diameter)-6.35) > 1e-6 {
		t.Errorf("holes = %+v", holes)
	}
	for _, wrong := range []string{"base 20 30", "base 20 30 wide", "base 1 2 3 4"} {
		form.Set(HolesField, wrong)
		if _, err := File(form); fault.KindOf(err) != fault.Invalid || !strings.Contains(err.Error(), "Line 1") {
			t.Errorf("%q: %v", wrong, err)
		}
	}
}

// Every part of the test data that the form can say opens in it, and makes the same
// part again.
func TestKeptPartsOpenInTheForm(t *testing.T) {
	opened := map[string]bool{}
	for _, folder := range []string{"../../testdata/parts", "../../testdata/cases", "../../testdata/suite/parts"} {
		files, err := filepath.Glob(filepath.Join(folder, "*.json"))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range files {
			file, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			before, err := part.Read(file)
			if err != nil {
				continue // a brake file, or one that shows a mistake
			}
			form, whole := Form(file)
			if !whole {
				continue
			}
			opened[filepath.Base(name)] = true
			again, err := File(form)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			after, err := part.Read(again)
			if diff := cmp.Diff(before, after, cmpopts.EquateEmpty(), cmpopts.EquateApprox(0, 1e-6), cmpopts.IgnoreUnexported(part.Part{})); err != nil || diff != "" {
				t.Errorf("%s: %v, - in the file, + from the form:\n%s", name, err, diff)
			}
		}
	}
	for _, name := range []string{"hemmed-tray.json", "tabbed-tray.json", "offset-clip.json", "06-hemZ.json", "lipped-channel.json"} {
		if !opened[name] {
			t.Errorf("%s does not open in the form", name)
		}
	}
	if len(opened) < 20 {
		t.Errorf("only %d parts open in the form", len(opened))
	}
}
