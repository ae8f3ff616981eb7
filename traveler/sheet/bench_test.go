package sheet

import (
	"bytes"
	"fmt"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jung-kurt/gofpdf"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/letter"
	"brakeside/traveler/page"
	"brakeside/traveler/pdf"
)

// BenchmarkSheet measures a part of six bends from the snapshot to the bytes of
// the PDF, and the layout alone.
func BenchmarkSheet(b *testing.B) {
	made := fixture.Cover()
	b.Run("pages", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := Pages(anew(made)); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("pages and pdf", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			doc, err := Document(anew(made))
			if err != nil {
				b.Fatal(err)
			}
			var file bytes.Buffer
			if err := pdf.Write(&file, doc); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("pdf of pages laid out", func(b *testing.B) {
		doc, err := Document(made)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportAllocs()
		for b.Loop() {
			if err := pdf.Write(&bytes.Buffer{}, doc); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("codes", func(b *testing.B) {
		for b.Loop() {
			if _, err := page.CodesOf(anew(made)); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkAgainstTheLibrary sets a traveler of three pages, from the snapshot
// to the bytes, against the PDF library alone drawing as many lines, outlines,
// circles and texts in the same faces on as many pages. Both are made in turn,
// so that a busy machine slows both.
func BenchmarkAgainstTheLibrary(b *testing.B) {
	made := fixture.Tray()
	pages, err := Pages(made)
	if err != nil || len(pages) != 3 {
		b.Fatalf("%d pages, want 3: %v", len(pages), err)
	}
	var own, bare []time.Duration
	for b.Loop() {
		own = append(own, took(func() { printOne(b, made) }))
		bare = append(bare, took(func() { bareLibrary(b, pages) }))
	}
	ratio := float64(median(own)) / float64(median(bare))
	b.ReportMetric(ratio, "times-bare")
	b.ReportMetric(float64(median(own).Microseconds())/1000, "ms/sheet")
}

func took(do func()) time.Duration {
	began := time.Now()
	do()
	return time.Since(began)
}

func median(of []time.Duration) time.Duration {
	slices.Sort(of)
	return of[len(of)/2]
}

// anew is a traveler of another address: its codes are not kept from the last
// time.
func anew(made *traveler.Traveler) *traveler.Traveler {
	other := *made
	other.Code = fmt.Sprintf("k7m4xq2pvr%07d", printings.Add(1))
	other.Address = strings.Replace(made.Address, made.Code, other.Code, 1)
	return &other
}

var printings atomic.Int64

func printOne(b *testing.B, made *traveler.Traveler) {
	doc, err := Document(anew(made))
	if err == nil {
		err = pdf.Write(&bytes.Buffer{}, doc)
	}
	if err != nil {
		b.Error(err)
	}
}

// bareLibrary calls the library once for each primitive of the pages. Their
// places are as simple as can be; the texts are the same, as their letters are
// what the library puts into the file.
func bareLibrary(b *testing.B, pages []*marks.Page) {
	file := gofpdf.New("P", "mm", "A4", "")
	names := map[marks.Face]string{marks.Regular: "regular", marks.Bold: "bold", marks.Mono: "mono"}
	for _, face := range []marks.Face{marks.Regular, marks.Bold, marks.Mono} {
		file.AddUTF8FontFromBytes(names[face], "", letter.File(face))
	}
	for _, page := range pages {
		file.AddPage()
		for _, m := range page.Marks {
			switch m := m.(type) {
			case marks.Line:
				file.Line(m.X1, m.Y1, m.X2, m.Y2)
			case marks.Path:
				bareRing(file, m.Points)
			case marks.Arc:
				file.Circle(m.X, m.Y, m.Radius, "D")
			case marks.Text:
				file.SetFont(names[m.Face], "", m.Size/canvas.MillimetresPerPoint)
				file.Text(m.X, m.Y, letter.Clean(m.Words))
			case marks.Cells:
				for range m.Runs() {
					bareRing(file, []marks.Point{{X: 1, Y: 1}, {X: 2, Y: 1}, {X: 2, Y: 2}, {X: 1, Y: 2}})
				}
			}
		}
	}
	if err := file.Output(&bytes.Buffer{}); err != nil {
		b.Error(err)
	}
}

func bareRing(file *gofpdf.Fpdf, points []marks.Point) {
	file.MoveTo(points[0].X, points[0].Y)
	for _, p := range points[1:] {
		file.LineTo(p.X, p.Y)
	}
	file.ClosePath()
	file.DrawPath("D")
}

// BenchmarkBatch measures a hundred sheets on one worker and on two, in turn;
// the metric is what the second core is worth.
func BenchmarkBatch(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(200)) // as the program does when it prints
	var one, two []time.Duration
	for b.Loop() {
		one = append(one, took(func() { batch(b, 1, 100) }))
		two = append(two, took(func() { batch(b, 2, 100) }))
	}
	b.ReportMetric(float64(median(one))/float64(median(two)), "times-faster")
}

func batch(b *testing.B, workers, sheets int) {
	made := fixture.Cover()
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			for range sheets / workers {
				printOne(b, made)
			}
		})
	}
	wait.Wait()
}
