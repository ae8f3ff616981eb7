package main

import (
	"math"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// cell is a row of the review as it is printed.
type cell struct{ material, thickness, bar, n, mean, spread, inTolerance string }

// expectedReview works out the review from the errors that the demo logs, with
// the bars as plan prints them, by the run order of the contract: the first
// piece whole, then step 1 on all pieces, then step 2. The errors go round
// through all jobs.
func expectedReview(t *testing.T) map[cell]bool {
	t.Helper()
	errors := map[[3]string][]float64{}
	logged := 0
	for _, job := range demoJobs {
		plan := planned(t, job.file, "-qty", strconv.Itoa(job.quantity))
		bars := []string{}
		for _, step := range plan["order"].([]any) {
			bars = append(bars, step.(map[string]any)["bar"].(string))
		}
		var sequence []string
		sequence = append(sequence, bars...)
		for _, bar := range bars {
			for range job.quantity - 1 {
				sequence = append(sequence, bar)
			}
		}
		for _, bar := range sequence[:readingsPerJob] {
			key := [3]string{plan["material"].(string), strconv.FormatFloat(plan["thickness"].(float64), 'f', 2, 64), bar}
			errors[key] = append(errors[key], demoErrors[logged%len(demoErrors)])
			logged++
		}
	}
	cells := map[cell]bool{}
	for key, all := range errors {
		cells[cellOf(key, all)] = true
	}
	return cells
}

// cellOf works out mean and sample standard deviation the long way.
func cellOf(key [3]string, errors []float64) cell {
	sum, within := 0.0, 0
	for _, e := range errors {
		sum += e
		if math.Abs(e) <= 1.0 { // the tolerance of every part of the demo
			within++
		}
	}
	mean, squares := sum/float64(len(errors)), 0.0
	for _, e := range errors {
		squares += (e - mean) * (e - mean)
	}
	spread := 0.0
	if len(errors) > 1 {
		spread = math.Sqrt(squares / float64(len(errors)-1))
	}
	two := func(v float64) string {
		return strings.Replace(strconv.FormatFloat(math.Round(v*100)/100, 'f', 2, 64), "-0.00", "0.00", 1)
	}
	return cell{key[0], key[1], key[2], strconv.Itoa(len(errors)), two(mean), two(spread), strconv.Itoa(within)}
}

var gaps = regexp.MustCompile(` {2,}`)

// TestDemoOnce: the whole job from a fresh folder to the review figures.
func TestDemoOnce(t *testing.T) {
	data := filepath.Join(t.TempDir(), "shop")
	o := runs(t, "demo", "-once", "-addr", "127.0.0.1:0", "-data", data)
	if o.code != exitFine {
		t.Fatalf("ended with %d: %s", o.code, o.err)
	}
	if strings.Count(o.err, "\n") != 1 || !strings.Contains(o.err, "on this machine only") {
		t.Errorf("standard error %q; want the note about the loopback address only", o.err)
	}
	before, table, found := strings.Cut(o.out, "\nreview\n")
	if !found || !strings.Contains(before, "\nlogged 30 readings through the service\n") {
		t.Fatalf("no readings or no review in:\n%s", o.out)
	}
	want := expectedReview(t)
	rows := strings.Split(strings.TrimSpace(table), "\n")[1:]
	for _, row := range rows {
		f := gaps.Split(strings.TrimSpace(row), -1)
		if len(f) != 7 {
			t.Errorf("row %q has %d fields", row, len(f))
			continue
		}
		if got := (cell{f[0], f[1], f[2], f[3], f[4], f[5], f[6]}); !want[got] {
			t.Errorf("the review has %+v, which is none of %+v", got, want)
		}
	}
	if len(rows) != len(want) {
		t.Errorf("the review has %d rows, want %d", len(rows), len(want))
	}
	sheet := filepath.Join(data, "traveler-1041.pdf")
	if pages, _ := pdfPages(readText(t, sheet)); pages < 2 {
		t.Errorf("the traveler has %d pages", pages)
	}
	soundPDF(t, sheet)
	wantListing(t, data, "brakeside.db", "brakeside.lock", "traveler-1041.pdf")
}

// TestDemoOnceByHand adds the errors up on paper. The drip trays take the first
// ten of the twelve, which add up to -0.8; the brackets the last two and the
// first eight, +0.1; the covers the last four and the first six, -0.1.
func TestDemoOnceByHand(t *testing.T) {
	csv := filepath.Join(t.TempDir(), "all.csv")
	if o := runs(t, "export", "-data", stocked(t), "-o", csv); o.code != exitFine {
		t.Fatalf("export: %s", o.err)
	}
	head := strings.Split(strings.SplitN(strings.TrimPrefix(readText(t, csv), "\ufeff"), "\n", 2)[0], ",")
	column := func(name string) int {
		for i, h := range head {
			if strings.TrimSpace(h) == name {
				return i
			}
		}
		t.Fatalf("the export has no column %q but %q", name, head)
		return 0
	}
	sums, counts := map[string]float64{}, map[string]int{}
	for _, row := range csvRows(t, csv) {
		e, err := strconv.ParseFloat(row[column("error_deg")], 64)
		if err != nil {
			t.Fatal(err)
		}
		sums[row[column("material")]] += e
		counts[row[column("material")]]++
	}
	for material, want := range map[string]float64{"304": -0.8, "mild-steel": 0.1, "5251-H22": -0.1} {
		if math.Abs(sums[material]-want) > 1e-9 || counts[material] != 10 {
			t.Errorf("%s: %d errors add up to %.2f, want 10 and %.2f", material, counts[material], sums[material], want)
		}
	}
}

// soundPDF has a PDF looked at by a program that knows the format.
func soundPDF(t *testing.T, path string) {
	t.Helper()
	qpdf, err := exec.LookPath("qpdf")
	if err != nil {
		t.Log("qpdf is not installed: the form of the PDF is not checked")
		return
	}
	if output, err := exec.Command(qpdf, "--check", path).CombinedOutput(); err != nil {
		t.Errorf("qpdf --check %s: %v\n%s", path, err, output)
	}
}
