package sheet

import (
	"bytes"
	"fmt"
	"sync"
	"testing"

	"brakeside/traveler/pdf"
)

// BenchmarkSheet measures a part of six bends from the snapshot to the bytes of
// the PDF, and the layout alone.
func BenchmarkSheet(b *testing.B) {
	made := cover()
	b.Run("pages", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := Pages(made); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("pages and pdf", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			doc, err := Document(made)
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
			if _, err := codesOf(made); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkBatch measures twenty sheets on one worker and on two; the ratio is
// what a second core is worth.
func BenchmarkBatch(b *testing.B) {
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprintf("%d workers", workers), func(b *testing.B) {
			for b.Loop() {
				batch(b, workers, 20)
			}
		})
	}
}

func batch(b *testing.B, workers, sheets int) {
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			for range sheets / workers {
				doc, err := Document(cover())
				if err == nil {
					err = pdf.Write(&bytes.Buffer{}, doc)
				}
				if err != nil {
					b.Error(err)
				}
			}
		})
	}
	wait.Wait()
}
