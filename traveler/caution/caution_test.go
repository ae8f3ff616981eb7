package caution

import (
	"testing"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/look"
)

func TestWorst(t *testing.T) {
	c := func(level, text string) traveler.Caution { return traveler.Caution{Level: level, Text: text} }
	cases := []struct {
		name string
		of   []traveler.Caution
		want string
	}{
		{"the gravest", []traveler.Caution{c(traveler.Notice, "n"), c(traveler.Care, "c"), c(traveler.Warning, "w")}, "w"},
		{"danger over all", []traveler.Caution{c(traveler.Warning, "w"), c(traveler.Danger, "d")}, "d"},
		{"the first of equals", []traveler.Caution{c(traveler.Care, "one"), c(traveler.Care, "two")}, "one"},
		{"a level nobody knows", []traveler.Caution{c("odd", "odd")}, "odd"},
	}
	for _, k := range cases {
		if got, ok := Worst(k.of); !ok || got.Text != k.want {
			t.Errorf("%s: worst() = %q, %v, want %q", k.name, got.Text, ok, k.want)
		}
	}
	if _, ok := Worst(nil); ok {
		t.Error("worst(nil) found a caution")
	}
}

// ANSI Z535.4-2007, 4.14: danger, warning and caution are for harm to people and carry
// the alert sign in their panel; notice is not and does not.
func TestSignalPanels(t *testing.T) {
	cases := []struct {
		level, word string
		alert       bool
	}{
		{traveler.Danger, "DANGER", true}, {traveler.Warning, "WARNING", true},
		{traveler.Care, "CAUTION", true}, {traveler.Notice, "NOTICE", false},
		{"never heard of", "WARNING", true}, // doubt is never safety
	}
	for _, k := range cases {
		c := canvas.Canvas{Page: &marks.Page{Width: 210, Height: 297}}
		panel(c, canvas.Box{X: 20, Y: 30, W: panelWidth, H: 6}, k.level)
		texts, dots := look.Each[marks.Text](c.Page), look.Each[marks.Arc](c.Page)
		if len(texts) != 1 || texts[0].Words != k.word || !texts[0].White {
			t.Errorf("panel(%q) says %v, want white %s", k.level, texts, k.word)
		}
		if (len(dots) == 1) != k.alert {
			t.Errorf("panel(%q) has an alert sign: %v, want %v", k.level, len(dots) == 1, k.alert)
		}
	}
}
