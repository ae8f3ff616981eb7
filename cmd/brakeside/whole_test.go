package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/testdata/robot"
	"brakeside/testdata/suite"
	"brakeside/traveler/draw"
	"brakeside/traveler/pdf"
)

// longName is a name of 24 to 40 letters, as drawers give them.
func longName(chance *rand.Rand, of string) string {
	words := []string{"upper", "left", "hand", "return", "mounting", "flange", "inner", "cover", "lip", "stiffener", "rear", "hinge"}
	name := of
	for len(name) < 24 {
		name += "-" + words[chance.IntN(len(words))]
	}
	return name[:min(len(name), 40)]
}

// withLongNames gives an invented part names that hardly fit anywhere.
func withLongNames(t *testing.T, chance *rand.Rand, part []byte) []byte {
	t.Helper()
	var fields map[string]any
	if err := json.Unmarshal(part, &fields); err != nil {
		t.Fatal(err)
	}
	fields["number"] = strings.ToUpper(longName(chance, "X-1"))
	fields["title"] = strings.ReplaceAll(longName(chance, "Cover plate with")+longName(chance, "-and"), "-", " ")
	fields["revision"] = []string{"C", "10", "P3.2", "2026-11"}[chance.IntN(4)]
	fields["material"] = []string{"mild-steel", "304", "430", "copper-half-hard", "brass-extra-hard", "galvanised"}[chance.IntN(6)]
	out, err := json.Marshal(fields)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestPapersAreWhole: on the printed traveler of every kept part, and of
// invented ones with long names, no words are cut off and no two lie over each
// other.
func TestPapersAreWhole(t *testing.T) {
	suite.Unraced(t)
	papers := 0
	check := func(name string, pdf []byte, bends bool) {
		if !bends {
			return
		}
		papers++
		crowded, err := robot.Crowded(pdf)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, fault := range crowded {
			t.Errorf("%s: %s", name, fault)
		}
	}
	for _, file := range drawnParts(t) {
		pdf, bends := keptPaper(t, file)
		check(filepath.Base(file), pdf, bends)
	}
	const seed = 5
	chance := rand.New(rand.NewPCG(seed, seed))
	file := filepath.Join(t.TempDir(), "part.json")
	enough := papers + min(200, *invented)
	for tried := 1; papers < enough; tried++ {
		if err := os.WriteFile(file, withLongNames(t, chance, robot.Invent(chance, tried)), 0o600); err != nil {
			t.Fatal(err)
		}
		pdf, bends := sheetOf(t, file, "-paper", []string{"a4", "letter"}[tried%2])
		check(fmt.Sprintf("X-%d", tried), pdf, bends)
	}
}

// keptPapers are the travelers of the kept parts, each printed once for all that
// read them; nil is that of a part that cannot be bent.
var keptPapers = map[string][]byte{}

// keptPaper is the traveler of a kept part in a large job with a long number; false
// where the part cannot be bent.
func keptPaper(t *testing.T, file string) ([]byte, bool) {
	t.Helper()
	if pdf, printed := keptPapers[file]; printed {
		return pdf, pdf != nil
	}
	args := []string{file, "-job", "J-2026-11-30-0001-repeat", "-qty", "12500"}
	if brake := benchOf(file); brake != "" {
		args = append(args, "-brake", brake)
	}
	pdf, bends := sheetOf(t, args...)
	keptPapers[file] = pdf
	return pdf, bends
}

// sheetOf is the traveler of a part file; false where it cannot be bent.
func sheetOf(t *testing.T, args ...string) ([]byte, bool) {
	t.Helper()
	to := filepath.Join(t.TempDir(), "sheet.pdf")
	var out, complaints bytes.Buffer
	switch code := run(context.Background(), append([]string{"sheet", "-o", to}, args...), streams{nil, &out, &complaints}); code {
	case exitFine:
	case exitBadInput, exitUnbendable:
		return nil, false
	default:
		t.Fatalf("%v: exit %d: %s", args, code, complaints.String())
	}
	pdf, err := os.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	return pdf, true
}

// The check sees what it is for.
func TestCrowdedPapersAreSeen(t *testing.T) {
	text := func(x float64, words string) draw.Text {
		return draw.Text{X: x, Y: 50, Size: 4, Words: words, Face: draw.Regular}
	}
	for _, c := range []struct {
		name   string
		texts  []draw.Mark
		faults int
	}{
		{"apart", []draw.Mark{text(20, "one"), text(60, "two")}, 0},
		{"over each other", []draw.Mark{text(20, "one"), text(23, "two")}, 1},
		{"cut off", []draw.Mark{text(20, "on…")}, 1},
	} {
		var file bytes.Buffer
		page := &draw.Page{Width: 210, Height: 297, Marks: c.texts}
		if err := pdf.Write(&file, pdf.Document{Pages: []*draw.Page{page}}); err != nil {
			t.Fatal(err)
		}
		if faults, err := robot.Crowded(file.Bytes()); err != nil || len(faults) != c.faults {
			t.Errorf("%s: Crowded() = %q, %v, want %d", c.name, faults, err, c.faults)
		}
	}
}
