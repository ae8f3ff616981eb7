package caution

import (
	"slices"
	"testing"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/look"
)

// All cautions stand in the order of harm; a level that nobody knows counts as a
// warning.
func TestByHarm(t *testing.T) {
	c := func(level string) traveler.Caution { return traveler.Caution{Level: level, Text: level} }
	got := ByHarm([]traveler.Caution{c(traveler.Notice), c(traveler.Care), c("odd"), c(traveler.Warning), c(traveler.Danger)})
	want := []traveler.Caution{c(traveler.Danger), c("odd"), c(traveler.Warning), c(traveler.Care), c(traveler.Notice)}
	if !slices.Equal(got, want) {
		t.Errorf("ByHarm() = %v, want %v", got, want)
	}
}

// Notices are printed as one; what can hurt people is not.
func TestTogether(t *testing.T) {
	c := func(level, text string) traveler.Caution { return traveler.Caution{Level: level, Text: text} }
	given := []traveler.Caution{
		c(traveler.Notice, "Tight."), c(traveler.Care, "Heavy."), c(traveler.Care, "Sharp."), c(traveler.Notice, "Pack both ends."),
	}
	got := Together(given)
	want := []traveler.Caution{c(traveler.Care, "Heavy."), c(traveler.Care, "Sharp."), c(traveler.Notice, "Tight.  ·  Pack both ends.")}
	if !slices.Equal(got, want) {
		t.Errorf("Together() = %v, want %v", got, want)
	}
	if given[0].Text != "Tight." {
		t.Error("what was given is changed")
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
