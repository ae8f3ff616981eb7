package brakes_test

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/calc/brake"
	"brakeside/calc/geom"
	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
)

// taped are the twelve figures as an owner with a tape measure types them.
var taped = map[string]string{
	"guide.name": "Yard brake", "guide.length": "1250", "guide.bed_depth": "110", "guide.bed_height": "300",
	"guide.leaf_face": "60", "guide.leaf_thickness": "45", "guide.leaf_angle": "135", "guide.bar_depth": "70",
	"guide.bar_height": "30", "guide.nose_angle": "45", "guide.fingers": "20 30 40, 50;100", "guide.rating": "1.6",
}

// newBrake opens the form of a new brake and types into it.
func newBrake(t *testing.T, s *shoptest.Shop, owner *http.Cookie, typed map[string]string) url.Values {
	t.Helper()
	root, _ := s.OwnerPage(owner, "/brakes/new")
	form := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("two")))
	for _, area := range shoptest.All(root, shoptest.Named("textarea")) {
		form.Set(shoptest.Attribute(area, "name"), shoptest.WordsIn(area))
	}
	for name, value := range typed {
		if !form.Has(name) {
			t.Fatalf("the form of a new brake has no field %s", name)
		}
		form.Set(name, value)
	}
	form.Set("act", "keep")
	return form
}

// A new owner with a tape measure enters a brake in one save, in millimetres or inches.
func TestBrakeInOneSave(t *testing.T) {
	inches := maps.Clone(taped)
	maps.Copy(inches, map[string]string{
		"guide.length": "49 1/4", "guide.bed_depth": "110 mm", "guide.bar_depth": "2.75", "guide.bar_height": "1 3/16", "guide.leaf_face": "2 3/8",
		"guide.leaf_thickness": "1.75", "guide.bed_height": "12", "guide.fingers": "1 2 3 4", "guide.rating": "0.0625",
	})
	for units, typed := range map[string]map[string]string{"mm": taped, "in": inches} {
		s, owner := shoptest.OpenOffice(t)
		if err := s.Store.KeepSetting(t.Context(), store.SettingUnits, units); err != nil {
			t.Fatal(err)
		}
		s.Send("/brakes", newBrake(t, s, owner, typed), owner)
		kept, err := s.Store.Find(t.Context(), store.Brakes, "Yard brake")
		if err != nil {
			t.Fatal(err)
		}
		b, err := brake.Read(kept.JSON)
		if err != nil {
			t.Fatal(err)
		}
		if b.Magnet != (brake.Magnet{}) || len(b.Bars) != 2 || b.Bars[1].Kind != brake.Segments || b.Bars[0].Rating < 1.5 || b.Bars[1].Rating >= b.Bars[0].Rating {
			t.Errorf("%s: the brake is %+v, want a bar and fingers rated for less, and nothing that nobody said", units, b)
		}
		if units == "mm" && (len(b.Bars[1].Widths) != 5 || b.UsableLength != 1250 || b.Bars[0].Length != 1250 || b.Leaf.MaxAngle != 135) {
			t.Errorf("the figures are kept as %+v", b)
		}
		if units == "in" && (b.UsableLength < 1250 || b.UsableLength > 1251 || len(b.Bars[1].Widths) != 4) {
			t.Errorf("the inches are kept as %v with fingers %v", b.UsableLength, b.Bars[1].Widths)
		}
	}
}

// The section of three figures: at 45 degrees a nose with a blunt edge of 0.6 rises to
// 30 over 29.4, by plain geometry.
func TestSectionOfThreeFigures(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	s.Send("/brakes", newBrake(t, s, owner, taped), owner)
	kept, err := s.Store.Find(t.Context(), store.Brakes, "Yard brake")
	if err != nil {
		t.Fatal(err)
	}
	b, err := brake.Read(kept.JSON)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []geom.Point2{{X: 0, Y: 0}, {X: 0, Y: 0.6}, {X: 29.4, Y: 30}, {X: 70, Y: 30}, {X: 70, Y: 0}} {
		if !slices.Contains(b.Bars[0].Section, want) {
			t.Errorf("the section %v lacks the corner %v", b.Bars[0].Section, want)
		}
	}
}

// All that is wrong with the figures is told at once, in a list with links to them.
func TestBrakeMistakesAtOnce(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	wrong := maps.Clone(taped)
	maps.Copy(wrong, map[string]string{
		"guide.name": " ", "guide.length": "long", "guide.bed_depth": "", "guide.leaf_angle": "171", "guide.fingers": "20 x", "guide.nose_angle": "14",
	})
	root := s.Refused("/brakes", newBrake(t, s, owner, wrong), owner)
	list := shoptest.One(t, root, shoptest.Classed("mistakes"))
	var linked []string
	for _, a := range shoptest.All(list, shoptest.Named("a")) {
		id := strings.TrimPrefix(shoptest.Attribute(a, "href"), "#")
		field := shoptest.One(t, root, func(n *html.Node) bool { return shoptest.Attribute(n, "id") == id })
		linked = append(linked, shoptest.Attribute(field, "name"))
	}
	slices.Sort(linked)
	if got := strings.Join(linked, " "); got != "guide.bed_depth guide.fingers guide.leaf_angle guide.length guide.name guide.nose_angle" {
		t.Errorf("the list above the form leads to %s", got)
	}
	if !shoptest.Has(list, "autofocus") || shoptest.Attribute(list, "tabindex") != "-1" {
		t.Error("the list does not take the focus")
	}
	if got := shoptest.FieldValue(root, "guide.length"); got != "long" {
		t.Errorf("what was typed is %q, want it kept", got)
	}
}

// What the brake file refuses stands beside the figure that it comes of, on each side
// of the threshold.
func TestRefusedBesideTheMeasure(t *testing.T) {
	for _, c := range []struct{ field, good, bad string }{
		{"guide.leaf_angle", "170", "170.5"}, {"guide.nose_angle", "90", "90.5"}, {"guide.nose_angle", "25", "22"}, // the slope of 70 deep
		{"guide.bed_depth", "90", "0"}, {"guide.rating", "0.5", "-1"}, {"guide.fingers", "", "0"},
	} {
		s, owner := shoptest.OpenOffice(t)
		form := newBrake(t, s, owner, taped)
		form.Set(c.field, c.bad)
		if got := shoptest.FaultBeside(t, s.Refused("/brakes", form, owner), c.field); got == "" {
			t.Errorf("%s = %q: nothing stands beside it", c.field, c.bad)
		}
		form.Set(c.field, c.good)
		s.Send("/brakes", form, owner)
	}
}

// The page to print names every figure of the form, by the letters of the drawing.
func TestMeasurePage(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	root, words := s.OwnerPage(owner, "/brakes/measure")
	form, _ := s.OwnerPage(owner, "/brakes/new")
	lit := map[string]bool{}
	for _, g := range shoptest.All(form, func(n *html.Node) bool { return shoptest.Attribute(n, "data-of") != "" }) {
		lit[shoptest.Attribute(g, "data-of")] = true
	}
	if rows := len(shoptest.All(root, shoptest.Named("tr"))); rows != len(taped)+1 {
		t.Errorf("%d rows, want the head and %d figures", rows, len(taped))
	}
	for name := range taped {
		if name != "guide.name" && !lit[name] {
			t.Errorf("no size of the drawing is that of %s", name)
		}
	}
	if !strings.Contains(words, "Nose angle") || len(shoptest.All(root, shoptest.Named("svg"))) != 1 {
		t.Errorf("the page says %s", words)
	}
}
