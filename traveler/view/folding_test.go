package view_test

import (
	"bytes"
	"flag"
	"os"
	"testing"

	"brakeside/calc"
	"brakeside/testdata/suite"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/svg"
	"brakeside/traveler/view"
)

var update = flag.Bool("update", false, "write the golden anew")

// framesOf are the frames of the tray of six bends, in the order that is planned for it.
func framesOf(t *testing.T) (*traveler.Traveler, []traveler.Frame) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/parts/six-bend.json")
	if err != nil {
		t.Fatal(err)
	}
	plan := suite.Work(t, suite.Read(t, text), suite.Brake(t), calc.Options{})
	made, err := traveler.Freeze(plan, traveler.Issue{Code: "abcdefghij234567a", Job: "1041", Shop: "Shop"})
	if err != nil {
		t.Fatal(err)
	}
	frames, err := traveler.Folding(made, plan.Blank)
	if err != nil {
		t.Fatal(err)
	}
	return made, frames
}

// The frames that screens show are kept on paper, for people to look at: the flat blank,
// and every step half made and made.
func TestFoldingGolden(t *testing.T) {
	made, frames := framesOf(t)
	if each := (len(frames) - 1) / len(made.Steps); len(frames) != 1+6*each || frames[0].Step != 0 || !frames[0].Whole {
		t.Fatalf("%d frames for six steps", len(frames))
	}
	const wide, high, inRow = 46.0, 32.0, 4
	sheet := &draw.Page{Title: "A tray of six bends as it is folded", Width: inRow * wide, Height: 4 * high}
	shown := 0
	for i, page := range view.Folding(frames, wide-2, high-2) {
		if frames[i].Whole || !frames[i-1].Whole && !frames[i+1].Whole { // made, and the middle of the way
			sheet.Add(draw.Moved(page.Marks, float64(shown%inRow)*wide+1, float64(shown/inRow)*high+1)...)
			shown++
		}
	}
	var out bytes.Buffer
	if err := svg.Write(&out, sheet); err != nil {
		t.Fatal(err)
	}
	const golden = "testdata/folding.svg"
	if *update {
		if err := os.WriteFile(golden, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(golden)
	if err != nil || !bytes.Equal(kept, out.Bytes()) {
		t.Errorf("%s changed (%v): go test ./traveler/view -run Folding -update, and look at it", golden, err)
	}
}

// A part that has other bends than the traveler is not folded: it would show another
// part than the one that is made.
func TestFoldingOfAnotherPart(t *testing.T) {
	made, _ := framesOf(t)
	other := suite.Plan(t, "P1")
	if _, err := traveler.Folding(made, other.Blank); err == nil {
		t.Error("the tray of six bends is folded from another part")
	}
}
