package clash

import (
	"os"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/part"
	"brakeside/calc/stock"
)

// suiteBrake is the invented brake of the development suite: bed 98 deep, leaf 62
// or 18, bars wide (74 deep, 27 high), narrow (23, 21), slotted and fingers.
func suiteBrake(t failer) *brake.Brake {
	t.Helper()
	return brakeFile(t, "suite/brake.json")
}

// brakeFile reads a brake file of testdata.
func brakeFile(t failer, name string) *brake.Brake {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatalf("%v", err)
	}
	k, err := brake.Read(data)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return k
}

const (
	wide   = 0
	narrow = 1
)

func develop(t failer, text []byte) *flat.Blank {
	t.Helper()
	b, err := tryDevelop(text)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return b
}

// tryDevelop is develop for parts that may be refused.
func tryDevelop(text []byte) (*flat.Blank, error) {
	p, err := part.Read(text)
	if err != nil {
		return nil, err
	}
	m, err := stock.Find(p.Material)
	if err != nil {
		return nil, err
	}
	return flat.Develop(p, stock.Sheet{Material: m, Thickness: p.Thickness})
}

func suitePart(t failer, name string) *flat.Blank {
	t.Helper()
	data, err := os.ReadFile("../../testdata/suite/parts/" + name + ".json")
	if err != nil {
		t.Fatalf("%v", err)
	}
	return develop(t, data)
}

// drawn is a part of 1 mm sheet with inside radius 1.
func drawn(t failer, shape string) *flat.Blank {
	t.Helper()
	return develop(t, []byte(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,`+shape+`}`))
}

// put puts a bend into the suite's brake, with a face of it clamped.
func put(t failer, b *flat.Blank, bend, clamped string) *Bench {
	t.Helper()
	for i, j := range b.Joints {
		for side, f := range j.Faces {
			if j.ID == bend && b.Faces[f].ID == clamped {
				return NewBench(Setting{Blank: b, Brake: suiteBrake(t), Joints: []int{i}, Side: side, Overbend: 1.5, Bars: []int{0, 1, 2, 3}})
			}
		}
	}
	t.Fatalf("no bend %s at face %s", bend, clamped)
	return nil
}

// made gives the set of the bends named.
func made(b *flat.Blank, ids ...string) fold.Made {
	var out fold.Made
	for i, j := range b.Joints {
		if slices.Contains(ids, j.ID) {
			out = out.With(i)
		}
	}
	return out
}
