package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// profileFile writes a strip of legs of one length.
func profileFile(b *testing.B, folder, name string, bends int, angle func(i int) int) string {
	b.Helper()
	legs, angles := []string{"30"}, []string{}
	for i := range bends {
		legs, angles = append(legs, "30"), append(angles, fmt.Sprint(angle(i)))
	}
	text := fmt.Sprintf(`{"number":"S","material":"mild-steel","thickness":0.8,"inside_radius":1,"profile":{"length":300,"legs":[%s],"bends":[%s]}}`,
		strings.Join(legs, ","), strings.Join(angles, ","))
	file := filepath.Join(folder, name+".json")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		b.Fatal(err)
	}
	return file
}

// BenchmarkPlan plans parts that ask for much in turns with a bracket of two legs,
// whole processes. It reports how many times as long a part takes as the bracket, by
// the clock and, for machines that do other work, in processor time, and the memory.
// The strip is bent to and fro; nearly every order of the ring, small bends of one
// sign, can be made and finished: the most that a part can ask for.
//
//	go test -run '^$' -bench Plan -benchtime 5x ./cmd/brakeside
func BenchmarkPlan(b *testing.B) {
	folder := b.TempDir()
	program := filepath.Join(folder, "brakeside")
	if output, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("build: %v\n%s", err, output)
	}
	toAndFro := func(i int) int { return 60 - i%2*120 }
	small := func(int) int { return 15 }
	onSuite := []string{"-brake", "../../testdata/suite/brake.json"}
	bracket := append([]string{program, "plan", profileFile(b, folder, "bracket", 1, func(int) int { return 90 })}, onSuite...)
	for _, part := range []struct {
		name string
		args []string
	}{
		{"strip12", append([]string{profileFile(b, folder, "strip12", 12, toAndFro)}, onSuite...)},
		{"strip14", append([]string{profileFile(b, folder, "strip14", 14, toAndFro)}, onSuite...)},
		{"strip20", append([]string{profileFile(b, folder, "strip20", 20, toAndFro)}, onSuite...)},
		{"ring12", append([]string{profileFile(b, folder, "ring12", 12, small)}, onSuite...)},
		{"ring14", append([]string{profileFile(b, folder, "ring14", 14, small)}, onSuite...)},
		{"enclosure", []string{"../../testdata/parts/enclosure.json"}},
	} {
		b.Run(part.name, func(b *testing.B) {
			var ratios, processor []float64
			var took []measure
			for b.Loop() {
				took = append(took, measureOf(b, append([]string{program, "plan"}, part.args...)))
				beside := measureOf(b, bracket)
				ratios = append(ratios, float64(last(took).Wall)/float64(beside.Wall))
				processor = append(processor, float64(last(took).CPU)/float64(beside.CPU))
			}
			reportMeasures(b, "", took)
			b.ReportMetric(median(ratios), "times-a-bracket")
			b.ReportMetric(median(processor), "times-its-cpu")
		})
	}
}

// BenchmarkExplain explains parts of the suite that cannot be bent in turns with their
// twins that can: what looking for the reasons and planning every cure costs.
//
//	go test -run '^$' -bench Explain -benchtime 5x ./cmd/brakeside
func BenchmarkExplain(b *testing.B) {
	program := filepath.Join(b.TempDir(), "brakeside")
	if output, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("build: %v\n%s", err, output)
	}
	plan := func(part string) []string {
		return []string{program, "plan", "../../testdata/suite/parts/" + part + ".json", "-brake", "../../testdata/suite/brake.json"}
	}
	for impossible, twin := range map[string]string{"P2v": "P2", "P3v": "P3", "P4v": "P4", "P6": "P6v", "P7v": "P7"} {
		b.Run(impossible, func(b *testing.B) {
			var took []measure
			var ratios []float64
			for b.Loop() {
				took = append(took, measureOf(b, plan(impossible)))
				ratios = append(ratios, float64(last(took).CPU)/float64(measureOf(b, plan(twin)).CPU))
			}
			reportMeasures(b, "", took)
			b.ReportMetric(median(ratios), "times-its-twin")
		})
	}
}
