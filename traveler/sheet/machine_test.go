package sheet

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"brakeside/calc"
	"brakeside/testdata/suite"
	"brakeside/traveler"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/pdf"
)

var sums = flag.String("sums", "", "file of the digests of travelers and sheets: compared with, or written where it is not there")

// TestSameOnEveryMachine compares what one kind of processor makes of the kept parts
// with what another did: a fused multiplication and addition rounds once where two
// instructions round twice, so that plans differ in their last bits, and what is
// frozen and printed should not. It is run by hand, on each of them with the same
// file:
//
//	go test ./traveler/sheet -run SameOnEveryMachine -sums FILE
func TestSameOnEveryMachine(t *testing.T) {
	if *sums == "" {
		t.Skip("-sums names no file to compare with")
	}
	got := digests(t)
	want, err := os.ReadFile(*sums)
	if errors.Is(err, fs.ErrNotExist) {
		err = os.WriteFile(*sums, []byte(got), 0o644)
		want = []byte(got)
	}
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("another machine makes something else (-there +here):\n%s", diff)
	}
}

// digests has a line for each kept part that can be bent: that of its traveler, and
// that of its sheet.
func digests(t *testing.T) string {
	t.Helper()
	parts, err := filepath.Glob("../../testdata/parts/*.json")
	if err != nil || len(parts) == 0 {
		t.Fatalf("no parts: %v", err)
	}
	made := planned(t)
	for _, path := range parts {
		file, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := calc.Work(suite.Read(t, file), suite.Brake(t), calc.Options{})
		if err != nil || !plan.Feasible {
			continue
		}
		frozen, err := traveler.Freeze(plan, traveler.Issue{Code: fixture.Letters(path), Base: fixture.Host, IssuedAt: "2026-05-04T09:30:00Z"})
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		made[filepath.Base(path)] = frozen
	}
	var lines []string
	for name, frozen := range made {
		snapshot, err := traveler.Encode(frozen)
		if err != nil {
			t.Fatal(err)
		}
		printed, err := Document(frozen)
		if err != nil {
			t.Fatal(err)
		}
		var file bytes.Buffer
		if err := pdf.Write(&file, printed); err != nil {
			t.Fatal(err)
		}
		lines = append(lines, fmt.Sprintf("%s %x %x", name, sha256.Sum256(snapshot), sha256.Sum256(file.Bytes())))
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n") + "\n"
}
