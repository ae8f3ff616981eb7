package main

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"brakeside/calc/part"
	"brakeside/testdata/suite"
)

// library is the example parts: the brake that each is meant for, if not the
// demo's, how many bends it has and what it shows.
var library = []struct {
	name, brake string
	form        part.Form
	bends       int
	title       string
}{
	{"enclosure", "", part.TrayForm, 12, "Enclosure of twelve bends: four walls, lips turned in, tabs to rivet"},
	{"gusset", "", part.FlatForm, 2, "Gusset drawn as a blank, with an ear bent down on the slant"},
	{"hat-rail", "", part.ProfileForm, 4, "Hat rail with splayed sides, sized inside"},
	{"hemmed-tray", "", part.TrayForm, 4, "Probe tray: hemmed front edge, no back wall"},
	{"l-bracket", "", part.ProfileForm, 1, "Rail end bracket: an L with two fixing holes and a slot"},
	{"lipped-channel", "", part.ProfileForm, 4, "Lipped channel, 14 mm lips turned in"},
	{"mitred-frame", "", part.TrayForm, 8, "Window frame for a drip tray: inward lips, mitred"},
	{"offset-clip", "", part.ProfileForm, 2, "Offset clip: a jog of 12 mm between two feet"},
	{"round-saddle", "../../testdata/brakes/round.json", part.ProfileForm, 1, "Pipe saddle bent over the 30 mm tube"},
	{"six-bend", "", part.TrayForm, 6, "Drip tray with hanging lips"},
	{"tab-plate", "", part.TrayForm, 3, "Tab plate: partial-length tabs up and down, with reliefs"},
	{"tabbed-tray", "", part.TrayForm, 8, "Gauge tray with corner tabs to rivet, inside the ends"},
}

func libraryFile(name string) string {
	return filepath.Join("..", "..", "testdata", "parts", name+".json")
}

func TestLibraryIsWhole(t *testing.T) {
	names := []string{"parts.go"} // what tests develop them with
	for _, example := range library {
		names = append(names, example.name+".json")
		p, err := part.Read([]byte(readText(t, libraryFile(example.name))))
		if err != nil {
			t.Errorf("%s: %v", example.name, err)
			continue
		}
		if p.Title != example.title || p.Form() != example.form {
			t.Errorf("%s is a %s with the title %q, want a %s with %q", example.name, p.Form(), p.Title, example.form, example.title)
		}
	}
	slices.Sort(names)
	wantListing(t, filepath.Join("..", "..", "testdata", "parts"), names...)
}

// Every example plans on the brake it is meant for, with every bend in one step,
// and prints: the traveler, and its blank in all three forms.
func TestLibraryPlansAndPrints(t *testing.T) {
	suite.Unraced(t)
	for _, example := range library {
		t.Run(example.name, func(t *testing.T) {
			file, folder := libraryFile(example.name), t.TempDir()
			var onBrake []string
			if example.brake != "" {
				onBrake = []string{"-brake", example.brake}
			}
			plan := planned(t, file, onBrake...)
			if got := len(plan["bends"].([]any)); got != example.bends {
				t.Errorf("%d bends, want %d", got, example.bends)
			}
			if steps, ok := plan["order"].([]any); !ok || plan["feasible"] != true || len(steps) != example.bends {
				t.Errorf("feasible %v in %d steps, want all %d bends in a step each", plan["feasible"], len(steps), example.bends)
			}
			printsAll(t, file, folder, onBrake)
		})
	}
}

// printsAll prints everything there is to print of a part and looks that it is
// whole.
func printsAll(t *testing.T, file, folder string, onBrake []string) {
	t.Helper()
	for _, job := range []struct {
		name, begins, ends string
		args               []string
	}{
		{"sheet.pdf", "%PDF-", "%%EOF", append([]string{"sheet", file}, onBrake...)},
		{"flat.pdf", "%PDF-", "%%EOF", []string{"flat", file}},
		{"flat.svg", "<svg ", "</svg>", []string{"flat", file}},
		{"flat.dxf", "999\n", "EOF", []string{"flat", file}},
	} {
		to := filepath.Join(folder, job.name)
		if o := runs(t, append(job.args, "-o", to)...); o.code != exitFine || o.err != "" {
			t.Errorf("%q: exit %d, %s", job.args, o.code, o.err)
			continue
		}
		text := strings.TrimSpace(strings.ReplaceAll(readText(t, to), "\r", ""))
		if !strings.HasPrefix(text, strings.TrimSpace(job.begins)) || !strings.HasSuffix(text, job.ends) {
			t.Errorf("%s begins with %.20q and is not whole", job.name, text)
		}
	}
	if pages, _ := pdfPages(readText(t, filepath.Join(folder, "sheet.pdf"))); pages < 1 {
		t.Error("the sheet has no page")
	}
}
