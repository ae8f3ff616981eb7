package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"brakeside/testdata/robot"
	"brakeside/testdata/suite"
	"brakeside/traveler"
	"brakeside/traveler/dxf"
)

// oneBlankShops are shops in which the blank depends on the bar: by the radii that
// bars leave, by what was measured under them, and by a tube. All figures are
// invented.
func oneBlankShops(t *testing.T) map[string][]string {
	t.Helper()
	var measured []string
	for _, material := range []string{"mild-steel", "galvanised", "304", "316", "430", "1100-H14", "3003-H14", "5052-H32", "5251-H22", "6082-T6", "copper", "brass"} {
		for _, thickness := range []float64{0.7, 0.8, 0.9, 1, 1.2, 1.5, 1.6, 2} {
			for i, bar := range []string{"wide", "narrow", "fingers", "tube 30"} {
				measured = append(measured, fmt.Sprintf(`{"material":%q,"thickness":%v,"radius":[0,40],"bar":%q,"k":%v,"source":"trial strip"}`,
					material, thickness, bar, 0.36+0.03*float64(i)))
			}
		}
	}
	folder := t.TempDir()
	calibrations := `{"calibrations":[` + strings.Join(measured, ",\n") + `]}`
	radii := `{"radii":[{"bar":"wide","radius":2.5},{"bar":"narrow","radius":2},{"bar":"fingers","radius":2.2}]}`
	tube := written(t, folder, "tube.json", `{"calibrations":[{"material":"mild-steel","thickness":0.9,"radius":[10,20],"bar":"tube 30","k":0.46,"source":"trial strip"}]}`)
	return map[string][]string{
		"radii by bar":        {"-shop", written(t, folder, "radii.json", radii)},
		"calibrations by bar": {"-shop", written(t, folder, "calibrations.json", calibrations)},
		"a tube":              {"-shop", tube, "-brake", "../../testdata/brakes/round.json"},
	}
}

// oneBlankParts lists the example parts, and one that only a tube makes; before a
// release also those of the suite.
func oneBlankParts(t *testing.T) []string {
	t.Helper()
	round := `{"number":"RD-7","material":"mild-steel","thickness":0.9,"inside_radius":15,"profile":{"length":300,"legs":[60,90],"bends":[90]}}`
	files := []string{written(t, t.TempDir(), "rounded.json", round), "shop/cable-cover.json", "shop/drip-tray.json", "shop/rail-bracket.json"}
	folders := []string{"../../testdata/parts"}
	if *invented >= 500 {
		folders = append(folders, "../../testdata/suite/parts")
	}
	for _, folder := range folders {
		found, err := filepath.Glob(folder + "/*.json")
		if err != nil || len(found) < 10 {
			t.Fatalf("%s: %v, %v", folder, found, err)
		}
		files = append(files, found...)
	}
	return files
}

// readWhole is of how many parts the finished papers are read too, which takes a
// second each: the others are compared before they are laid out.
const readWhole = 3

// Whatever bar the shop's figures speak of, plan, traveler and the drawings in all
// three forms are of one blank: the size of the cut edge in the DXF is that of the
// plan to the micrometre, and traveler, PDF, SVG and DXF carry the same letters. CI
// takes every part to every shop, a run by hand the rounded part to all and each other to one of them.
func TestOneBlankEverywhere(t *testing.T) {
	suite.Unraced(t)
	parts := oneBlankParts(t)
	plain := map[string]string{}
	for _, file := range parts {
		plain[file] = identityIn(t, flatFile(t, "dxf", file))
	}
	shops := oneBlankShops(t)
	for turn, name := range slices.Sorted(maps.Keys(shops)) {
		shop := shops[name]
		t.Run(name, func(t *testing.T) {
			by := 0
			for i, file := range parts {
				if i > 0 && !suite.InTurn(i, turn, len(shops)) {
					continue
				}
				args := append([]string{file}, shop...)
				cut := flatFile(t, "dxf", args...)
				letters := identityIn(t, cut)
				if letters != plain[file] {
					by++
				}
				if wantSize(t, args, cut) {
					wantLetters(t, letters, i < readWhole, args)
				}
			}
			if by == 0 {
				t.Error("no blank depends on the bar: this shop shows nothing")
			}
		})
	}
}

// wantLetters wants the letters of a blank on its traveler, and on the finished
// papers if these are read too.
func wantLetters(t *testing.T, letters string, papers bool, args []string) {
	t.Helper()
	o := sheetOrder{issue: traveler.Issue{Code: "k7m4xq2pvr9tabcde"}}
	flags := flag.NewFlagSet("sheet", flag.ContinueOnError)
	o.on(flags)
	others, err := arguments(flags, args, "PART.json")
	if err != nil {
		t.Fatal(err)
	}
	o.part = others[0]
	made, err := o.freeze(streams{nil, io.Discard, io.Discard})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{"traveler": made.Blank.Identity()}
	if papers {
		sheet, _ := sheetOf(t, args...)
		got["printed traveler"] = identityIn(t, pdfWords(t, sheet))
		got["SVG"] = identityIn(t, flatFile(t, "svg", args...))
		got["PDF"] = identityIn(t, pdfWords(t, []byte(flatFile(t, "pdf", args...))))
	}
	for what, own := range got {
		if own != letters {
			t.Errorf("%v: the %s is of blank %s, the DXF of %s", args, what, own, letters)
		}
	}
}

// wantSize compares what a DXF has cut with the size in the plan, and reports
// whether the part can be bent.
func wantSize(t *testing.T, args []string, cut string) bool {
	t.Helper()
	var plan struct {
		Blank    struct{ Size [2]float64 }
		Feasible bool
	}
	if err := json.Unmarshal([]byte(runs(t, append([]string{"plan", "-json"}, args...)...).out), &plan); err != nil {
		t.Fatal(err)
	}
	drawing, err := dxf.Read([]byte(cut), dxf.Millimetres)
	if err != nil {
		t.Fatal(err)
	}
	var size [2]float64
	for _, s := range drawing.On(dxf.Cut) {
		for _, p := range s.Points {
			size[0], size[1] = max(size[0], p.X), max(size[1], p.Y)
		}
	}
	if math.Hypot(size[0]-plan.Blank.Size[0], size[1]-plan.Blank.Size[1]) > 0.0015 {
		t.Errorf("%v: the DXF is %v, the plan %v", args, size, plan.Blank.Size)
	}
	return plan.Feasible
}

// flatFile draws a blank and gives the file.
func flatFile(t *testing.T, kind string, args ...string) string {
	t.Helper()
	to := filepath.Join(t.TempDir(), "blank."+kind)
	if o := runs(t, append([]string{"flat", "-o", to}, args...)...); o.code != exitFine {
		t.Fatalf("flat %v ended with %d: %s", args, o.code, o.err)
	}
	file, err := os.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	return string(file)
}

func pdfWords(t *testing.T, file []byte) string {
	t.Helper()
	words, err := robot.Words(file)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(words, "\n")
}

var identityPattern = regexp.MustCompile(`(?i:blank) ([A-Z]{4} [A-Z]{4})\b`)

// identityIn finds the letters of the blank in a text, which must have them.
func identityIn(t *testing.T, text string) string {
	t.Helper()
	found := identityPattern.FindStringSubmatch(text)
	if found == nil {
		t.Fatalf("no letters of a blank in %.300q", text)
	}
	return found[1]
}
