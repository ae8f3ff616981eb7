package calc

import (
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"os"
	"testing"
)

func benchPart(b *testing.B, f string) {
	bd, _ := os.ReadFile("../testdata/suite/brake.json")
	k, _ := brake.Read(bd)
	d, err := os.ReadFile(f)
	if err != nil {
		b.Fatal(err)
	}
	p, err := part.Read(d)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Work(p, k, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
func BenchmarkZP4(b *testing.B) { benchPart(b, "../testdata/suite/parts/P4.json") }
func BenchmarkZP5(b *testing.B) { benchPart(b, "../testdata/suite/parts/P5.json") }
func BenchmarkZP6(b *testing.B) { benchPart(b, "../testdata/suite/parts/P6.json") }
func BenchmarkZ12(b *testing.B) { benchPart(b, "/tmp/w/e12.json") }
