package sheet

import (
	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/traveler"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

func TestZ(t *testing.T) {
	bd, _ := os.ReadFile("../../testdata/suite/brake.json")
	k, err := brake.Read(bd)
	if err != nil {
		t.Fatal(err)
	}
	fs, _ := filepath.Glob("../../testdata/suite/parts/*.json")
	for _, f := range fs {
		d, _ := os.ReadFile(f)
		p, err := part.Read(d)
		if err != nil {
			t.Error(f, err)
			continue
		}
		pl, err := calc.Work(p, k, calc.Options{Quantity: 12})
		if err != nil {
			t.Error(f, err)
			continue
		}
		tr, err := traveler.Freeze(pl, traveler.Issue{Code: "ABCDEFGHJKMN2345", Base: host, Shop: "Drip & Rail Metalwork", Job: "J-7", IssuedAt: "2026-05-04T09:30:00Z", IssuedBy: "Robin Demo"})
		if err != nil {
			t.Log(f, err)
			continue
		}
		n := filepath.Base(f)
		n = n[:len(n)-5]
		b, _ := json.MarshalIndent(tr, "", " ")
		os.WriteFile("/tmp/w/sheets/"+n+".json", b, 0o644)
		os.WriteFile("/tmp/w/sheets/"+n+".pdf", written(t, tr), 0o644)
		for i, pg := range pagesOf(t, tr) {
			for _, c := range crowded(pg) {
				t.Error(n, i+1, c)
			}
		}
	}
}
