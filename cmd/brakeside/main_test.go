package main

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// update rewrites the expected files and scripts instead of comparing.
var update = flag.Bool("update", false, "write the expected results anew")

// programs are what the test binary can stand in for, in a process of its own.
var programs = map[string]func(){"brakeside": main}

func TestMain(m *testing.M) { testscript.Main(m, programs) }

// outcome is what one run of the program left.
type outcome struct {
	code     int
	out, err string
}

// runs runs a command line in this process.
func runs(t testing.TB, args ...string) outcome {
	t.Helper()
	return runsOn(t, "", args...)
}

// runsOn runs a command line with something on standard input.
func runsOn(t testing.TB, input string, args ...string) outcome {
	t.Helper()
	var out, errs bytes.Buffer
	code := run(context.Background(), args, streams{strings.NewReader(input), &out, &errs})
	return outcome{code, out.String(), errs.String()}
}

// complaint wants exactly one line on standard error, nothing on standard
// output and the exit code, and gives the line.
func (o outcome) complaint(t testing.TB, code int) string {
	t.Helper()
	if o.code != code || o.out != "" || strings.Count(o.err, "\n") != 1 || !strings.HasSuffix(o.err, "\n") || len(o.err) < 2 {
		t.Errorf("exit code %d, standard output %q, standard error %q; want code %d, nothing, one line", o.code, o.out, o.err, code)
	}
	return strings.TrimSuffix(o.err, "\n")
}

// listing names what is in a folder, hidden files too.
func listing(t testing.TB, folder string) []string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	names := []string{}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

func wantListing(t testing.TB, folder string, want ...string) {
	t.Helper()
	if got := listing(t, folder); !slices.Equal(got, want) {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
}

// written puts a file into a folder and gives its path.
func written(t testing.TB, folder, name, text string) string {
	t.Helper()
	path := filepath.Join(folder, name)
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func readText(t testing.TB, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

var (
	pageObject = regexp.MustCompile(`/Type /Page\b`)
	mediaBox   = regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`)
)

// pdfPages counts the pages of a PDF, and gives its paper in points.
func pdfPages(text string) (pages int, paper string) {
	if !strings.HasPrefix(text, "%PDF-") || !strings.HasSuffix(strings.TrimSpace(text), "%%EOF") {
		return 0, "no PDF"
	}
	if box := mediaBox.FindStringSubmatch(text); box != nil {
		paper = box[1] + "x" + box[2]
	}
	return len(pageObject.FindAllString(text, -1)), paper
}

func TestHelp(t *testing.T) {
	for _, word := range []string{"help", "-h", "-help", "--help"} {
		if o := runs(t, word); o.code != exitFine || o.err != "" || !strings.Contains(o.out, "brakeside plan PART.json") {
			t.Errorf("brakeside %s: exit %d, %q on standard error, %q", word, o.code, o.err, o.out)
		}
	}
	if o := runs(t); o.code != exitBadInput || o.out != "" || !strings.Contains(o.err, "brakeside plan PART.json") {
		t.Errorf("brakeside: exit %d, %q", o.code, o.err)
	}
	for _, c := range commands {
		o := runs(t, c.name, "-h")
		if o.code != exitFine || o.err != "" || !strings.HasPrefix(o.out, "brakeside "+c.name) || !strings.Contains(o.out, c.args) {
			t.Errorf("brakeside %s -h: exit %d, %q, %q", c.name, o.code, o.err, o.out)
		}
	}
}
