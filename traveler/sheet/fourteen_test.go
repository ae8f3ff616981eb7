package sheet

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/testdata/suite"
	"brakeside/traveler"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
)

// manyBends are the plans of parts of twelve and fourteen bends on the example's brake,
// by name. They take the planner seconds each and are kept frozen; -update plans anew.
func manyBends(t *testing.T) map[string]*traveler.Traveler {
	t.Helper()
	paths, err := filepath.Glob("testdata/fourteen/*.json")
	if err != nil || len(paths) < 5 {
		t.Fatalf("%d parts in testdata/fourteen, want at least 5: %v", len(paths), err)
	}
	made := map[string]*traveler.Traveler{}
	for _, path := range paths {
		kept := strings.TrimSuffix(path, ".json") + ".traveler.gz"
		if *update {
			keepPlan(t, path, kept)
		}
		file, err := os.Open(kept)
		if err != nil {
			t.Fatalf("the plan is missing; run with -update: %v", err)
		}
		defer file.Close()
		packed, err := gzip.NewReader(file)
		if err != nil {
			t.Fatalf("%s: %v", kept, err)
		}
		encoded, err := io.ReadAll(packed)
		if err != nil {
			t.Fatalf("%s: %v", kept, err)
		}
		if made[strings.TrimSuffix(filepath.Base(path), ".json")], err = traveler.Decode(encoded); err != nil {
			t.Fatalf("%s: %v", kept, err)
		}
	}
	return made
}

// keepPlan plans a part and writes it down frozen.
func keepPlan(t *testing.T, path, kept string) {
	t.Helper()
	file, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	bench, err := os.ReadFile("../../cmd/brakeside/shop/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	on, err := brake.Read(bench)
	if err != nil {
		t.Fatal(err)
	}
	p := suite.Read(t, file)
	frozen, err := traveler.Freeze(suite.Work(t, p, on, calc.Options{Quantity: 5}), traveler.Issue{
		Code: fixture.Letters(p.Number), Base: fixture.Host, Shop: "Drip & Rail Metalwork", Job: "J-7",
		IssuedAt: "2026-05-04T09:30:00Z", IssuedBy: "Robin Demo", Paper: "a4",
	})
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	encoded, err := traveler.Encode(frozen)
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	var packed bytes.Buffer
	into := gzip.NewWriter(&packed)
	if _, err := into.Write(encoded); err != nil {
		t.Fatal(err)
	}
	if err := into.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(kept, packed.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// Fourteen bends are printed on five pages of either paper, and the table for five or
// ten pieces is on the last of them.
func TestFourteenBendsTakeFivePages(t *testing.T) {
	suite.Unraced(t)
	for name, made := range manyBends(t) {
		if len(made.Steps) < 12 {
			t.Errorf("%s has %d steps, want 12 or 14", name, len(made.Steps))
		}
		ways := []struct {
			paper    string
			quantity int
		}{{"letter", 10}, {"a4", 10}, {"letter", 1}, {"letter", 5}, {"a4", 1}}
		for i, k := range ways {
			if i > 0 && os.Getenv("CI") != "true" {
				break // the first is the fullest
			}
			made.Paper, made.Quantity = k.paper, k.quantity
			pages := pagesOf(t, made)
			if len(pages) > 5 {
				t.Errorf("%s on %s, %d pieces: %d pages, want at most 5", name, k.paper, k.quantity, len(pages))
			}
			for i, page := range pages {
				for _, fault := range look.Crowded(page) {
					t.Errorf("%s on %s, %d pieces, page %d: %s", name, k.paper, k.quantity, i+1, fault)
				}
			}
		}
	}
}
