package calc

import (
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestQuick(t *testing.T) {
	kb, _ := os.ReadFile("../testdata/suite/brake.json")
	k, err := brake.Read(kb)
	if err != nil {
		t.Fatal(err)
	}
	fs, _ := filepath.Glob("../testdata/suite/parts/*.json")
	for _, f := range fs {
		b, _ := os.ReadFile(f)
		p, err := part.Read(b)
		if err != nil {
			t.Fatal(f, err)
		}
		s := time.Now()
		pl, err := Work(p, k, Options{})
		d := time.Since(s)
		if err != nil {
			fmt.Println(f, err)
			continue
		}
		fmt.Println(p.Number, pl.Feasible, pl.Minutes, pl.Searched, d)
		for _, s := range pl.Steps {
			fmt.Println("   ", s.Bends, s.TurnOver, s.Rotate, s.Clamped, s.Bar.Name, s.Segments, s.Leaf, s.Place, s.Clearance, s.Between, s.GaugeEdge, s.Gauge, s.CheckSize, s.Check, s.Cautions)
		}
		for _, b := range pl.Blocked {
			fmt.Println("   B", b.Bends)
			for _, w := range b.Why {
				fmt.Println("       ", w)
			}
		}
	}
}
