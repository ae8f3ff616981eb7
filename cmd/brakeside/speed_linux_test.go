package main

import (
	"bytes"
	"encoding/json"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"syscall"
	"testing"
	"time"

	"brakeside/calc"
	"brakeside/traveler"
	"brakeside/traveler/sheet"
	"brakeside/traveler/svg"
)

// BenchmarkSheet prints the traveler of a part with six bends, whole process,
// and in turns lets a browser without a screen print the same pages from HTML
// with their drawings in it. Reported are medians, the largest memory of a
// process, and the median of the ratios of each turn.
//
//	go test -run '^$' -bench Sheet -benchtime 15x ./cmd/brakeside
//
// The goals: under 60 ms and 40 MiB, and at least 20 times faster than the
// browser.
func BenchmarkSheet(b *testing.B) {
	folder := b.TempDir()
	program := filepath.Join(folder, "brakeside")
	if output, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("build: %v\n%s", err, output)
	}
	ours := []string{program, "sheet", sixBends, "-o", filepath.Join(folder, "traveler.pdf")}
	browser := browserPrints(b, folder)
	var took, browserTook []measure
	var ratios []float64
	for b.Loop() {
		took = append(took, measureOf(b, ours))
		if browser != nil {
			browserTook = append(browserTook, measureOf(b, browser))
			ratios = append(ratios, float64(last(browserTook).Wall)/float64(last(took).Wall))
		}
	}
	reportMeasures(b, "", took)
	if browser != nil {
		reportMeasures(b, "browser-", browserTook)
		b.ReportMetric(median(ratios), "times-faster")
	}
}

// BenchmarkStart runs the program for nothing: what starting it takes.
func BenchmarkStart(b *testing.B) {
	program := filepath.Join(b.TempDir(), "brakeside")
	if output, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("build: %v\n%s", err, output)
	}
	var took []measure
	for b.Loop() {
		took = append(took, measureOf(b, []string{program, "help"}))
	}
	reportMeasures(b, "", took)
}

// BenchmarkFirstPage starts the service on a folder that is there and asks for a
// page until it comes: what the owner waits after the machine was switched on.
//
//	go test -run '^$' -bench FirstPage -benchtime 15x ./cmd/brakeside
//
// The goal: under 150 ms.
func BenchmarkFirstPage(b *testing.B) {
	folder := b.TempDir()
	program := filepath.Join(folder, "brakeside")
	if output, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("build: %v\n%s", err, output)
	}
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	addr := free.Addr().String()
	free.Close()
	var took []float64
	for b.Loop() {
		start := time.Now()
		service := exec.Command(program, "serve", "-addr", addr, "-data", filepath.Join(folder, "shop"))
		if err := service.Start(); err != nil {
			b.Fatal(err)
		}
		for {
			if answer, err := http.Get("http://" + addr + "/signin"); err == nil {
				answer.Body.Close()
				break
			}
			if time.Since(start) > 10*time.Second {
				b.Fatal("the service never answers")
			}
			time.Sleep(time.Millisecond)
		}
		took = append(took, time.Since(start).Seconds()*1e3)
		if err := service.Process.Signal(syscall.SIGTERM); err != nil {
			b.Fatal(err)
		}
		if err := service.Wait(); err != nil {
			b.Fatal(err)
		}
	}
	took = took[min(1, len(took)-1):] // the first one makes the folder and the password
	b.ReportMetric(median(took), "first-page-ms")
	b.ReportMetric(slices.Max(took), "slowest-ms")
}

const sixBends = "../../testdata/parts/six-bend.json"

func measureOf(b *testing.B, command []string) measure {
	b.Helper()
	output, err := exec.Command("measured", command...).Output()
	if err != nil {
		b.Fatalf("%q: %v", command, err)
	}
	var m measure
	if err := json.Unmarshal(output, &m); err != nil {
		b.Fatal(err)
	}
	return m
}

func reportMeasures(b *testing.B, who string, took []measure) {
	var wall, cpu []float64
	memory := 0.0
	for _, m := range took {
		wall, cpu = append(wall, m.Wall.Seconds()*1e3), append(cpu, m.CPU.Seconds()*1e3)
		memory = max(memory, float64(m.Memory)/(1<<20))
	}
	b.ReportMetric(median(wall), who+"wall-ms")
	b.ReportMetric(slices.Min(wall), who+"least-ms")
	b.ReportMetric(median(cpu), who+"cpu-ms")
	b.ReportMetric(memory, who+"MiB")
}

func median(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	return sorted[len(sorted)/2]
}

func last(m []measure) measure { return m[len(m)-1] }

// browserPrints is the command that has a browser print the same pages; none
// when there is no browser.
func browserPrints(b *testing.B, folder string) []string {
	b.Helper()
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		b.Log("chromium is not installed: nothing is compared")
		return nil
	}
	page := filepath.Join(folder, "traveler.html")
	if err := os.WriteFile(page, sheetAsHTML(b), 0o644); err != nil {
		b.Fatal(err)
	}
	return []string{chromium, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", "--user-data-dir=" + filepath.Join(folder, "profile"),
		"--print-to-pdf=" + filepath.Join(folder, "browser.pdf"), "file://" + page}
}

// sheetAsHTML is the traveler as a web page: each page of paper a drawing.
func sheetAsHTML(t testing.TB) []byte {
	t.Helper()
	plans, err := plansOn(sixBends, []string{""}, calc.Options{Quantity: 1})
	if err != nil {
		t.Fatal(err)
	}
	frozen, err := traveler.Freeze(plans[0].Plan, traveler.Issue{Code: "k7m4xq2pvr9tabcde", Base: "http://192.0.2.7:8080", IssuedAt: "2026-05-04T08:00:00Z"})
	if err != nil {
		t.Fatal(err)
	}
	doc, err := sheet.Document(frozen)
	if err != nil {
		t.Fatal(err)
	}
	var html bytes.Buffer
	html.WriteString("<!DOCTYPE html><meta charset=utf-8><title>traveler</title>\n<style>@page{size:210mm 297mm;margin:0}body{margin:0}svg{display:block;width:210mm;height:297mm;break-after:page}</style>\n")
	for _, page := range doc.Pages {
		if err := svg.Write(&html, page); err != nil {
			t.Fatal(err)
		}
	}
	return html.Bytes()
}

// TestSheetAsHTML keeps the benchmark's comparison fair: the browser gets as
// many pages, with the words of the sheet on them.
func TestSheetAsHTML(t *testing.T) {
	html := sheetAsHTML(t)
	to := filepath.Join(t.TempDir(), "traveler.pdf")
	if o := runs(t, "sheet", sixBends, "-o", to); o.code != exitFine {
		t.Fatal(o.err)
	}
	pages, _ := pdfPages(readText(t, to))
	if got := bytes.Count(html, []byte("<svg ")); got != pages || pages < 2 {
		t.Errorf("the browser gets %d pages, the sheet has %d", got, pages)
	}
	for _, words := range []string{"DT-420", "back lip", "94.0"} {
		if !bytes.Contains(html, []byte(words)) {
			t.Errorf("the browser's pages lack %q", words)
		}
	}
}
