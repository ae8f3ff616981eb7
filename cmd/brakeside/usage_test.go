package main

import (
	"encoding/json"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestDocCommentIsTheUsage: the command's doc comment, what help prints and
// what the commands take are one text.
func TestDocCommentIsTheUsage(t *testing.T) {
	f, err := parser.ParseFile(token.NewFileSet(), "main.go", nil, parser.ParseComments|parser.PackageClauseOnly)
	if err != nil {
		t.Fatal(err)
	}
	var documented, listed []string
	for _, line := range strings.Split(f.Doc.Text(), "\n") {
		if line, found := strings.CutPrefix(line, "\tbrakeside "); found {
			documented = append(documented, line)
		} else if more, found := strings.CutPrefix(line, "\t    "); found {
			documented[len(documented)-1] += " " + more
		}
	}
	for _, c := range commands {
		listed = append(listed, strings.TrimSpace(c.name+" "+c.args))
	}
	if !slices.Equal(documented, listed) {
		t.Errorf("the doc comment has\n%s\nthe commands\n%s", strings.Join(documented, "\n"), strings.Join(listed, "\n"))
	}
}

var flagName = regexp.MustCompile(`(?m)(?:^  |[ \[])-([a-z-]+)`)

// TestFlagsAreListed: the line of usage names exactly the flags there are.
func TestFlagsAreListed(t *testing.T) {
	for _, c := range commands {
		_, table, _ := strings.Cut(runs(t, c.name, "-h").out, "\n\n")
		var there, named []string
		for _, line := range strings.Split(table, "\n") {
			if m := flagName.FindStringSubmatch(line); m != nil && strings.HasPrefix(line, "  -") {
				there = append(there, m[1])
			}
		}
		for _, m := range flagName.FindAllStringSubmatch(" "+c.args, -1) {
			named = append(named, m[1])
		}
		slices.Sort(there)
		slices.Sort(named)
		if !slices.Equal(there, named) {
			t.Errorf("%s takes the flags %q, its usage names %q", c.name, there, named)
		}
	}
}

// Every flag has a limit, and what is beyond it is refused in few words that name the
// flag: as much as a file name may have, and more.
func TestFlagsHaveLimits(t *testing.T) {
	for _, c := range commands {
		_, table, _ := strings.Cut(runs(t, c.name, "-h").out, "\n\n")
		for _, line := range strings.Split(table, "\n") {
			m := takesValue.FindStringSubmatch(line)
			if m == nil {
				continue
			}
			for _, most := range []int{4000, 10_000} {
				o := runs(t, c.name, "-"+m[1], strings.Repeat("x", most))
				if most == 4000 && isPath[m[1]] {
					continue
				}
				if o.code != exitBadInput || !strings.Contains(o.err, "-"+m[1]) || len(o.err) > 400 {
					t.Errorf("%s -%s of %d letters ends with %d: %.500s", c.name, m[1], most, o.code, o.err)
				}
			}
		}
	}
}

var takesValue = regexp.MustCompile(`^  -([a-z-]+) [a-z]+`)

// isPath are flags that name a file or a folder, which may be so long.
var isPath = map[string]bool{
	"o": true, "data": true, "brake": true, "shop": true, "words": true, "backup": true, "tls-cert": true, "tls-key": true, "picture": true,
}

// TestReadmeUsage runs the lines of README's usage: without what stands in
// square brackets, with all of it, and with each ending that a remark offers.
func TestReadmeUsage(t *testing.T) {
	readme := readText(t, "../../README.md")
	folder := t.TempDir()
	t.Chdir(folder)
	for _, name := range []string{"rail-bracket.json", "brake.json"} {
		text, err := demoFiles.ReadFile("shop/" + name)
		if err != nil {
			t.Fatal(err)
		}
		written(t, folder, name, string(text))
	}
	ran := 0
	for _, line := range strings.Split(readme, "\n") {
		usage, remark, _ := strings.Cut(line, "#")
		if !strings.HasPrefix(usage, "brakeside ") || !strings.Contains(usage, "PART.json") {
			continue
		}
		for _, args := range waysOf(usage, remark) {
			ran++
			if o := runs(t, args...); o.code != exitFine || o.err != "" {
				t.Errorf("%q from README ends with %d: %s", args, o.code, o.err)
			}
			if i := slices.Index(args, "-o"); i > 0 {
				if info, err := os.Stat(args[i+1]); err != nil || info.Size() == 0 {
					t.Errorf("%q from README wrote no %s: %v", args, args[i+1], err)
				}
			}
		}
	}
	if ran < 8 {
		t.Errorf("ran %d command lines of README, want 8 or more", ran)
	}
}

var inBrackets = regexp.MustCompile(`\[[^\]]*\]`)

// waysOf spells a line of usage out.
func waysOf(usage, remark string) [][]string {
	sample := strings.NewReplacer("PART.json", "rail-bracket.json", "BRAKE.json", "brake.json", "F]", "brake.json]", "N]", "12]", "NO]", "2077]",
		"a4|letter", "letter", "BASE", "http://192.0.2.7:8080")
	usage = sample.Replace(usage)
	lines := []string{inBrackets.ReplaceAllString(strings.ReplaceAll(usage, "...", ""), ""), strings.NewReplacer("[", "", "]", "", "...", "").Replace(usage)}
	if more := regexp.MustCompile(`\.(pdf|dxf)`).FindAllString(remark, -1); more != nil {
		for _, ending := range more {
			lines = append(lines, strings.Replace(lines[0], ".svg", ending, 1))
		}
	}
	var ways [][]string
	for _, l := range lines {
		ways = append(ways, strings.Fields(l)[1:])
	}
	return ways
}

var fenced = regexp.MustCompile("(?s)```json\n(.*?)```")

// TestReadmePart: the part file that README shows can be bent.
func TestReadmePart(t *testing.T) {
	blocks := fenced.FindAllStringSubmatch(readText(t, "../../README.md"), -1)
	if len(blocks) == 0 {
		t.Fatal("README shows no part file")
	}
	for _, b := range blocks {
		if !json.Valid([]byte(b[1])) {
			t.Errorf("README shows broken JSON:\n%s", b[1])
		}
		file := written(t, t.TempDir(), "part.json", b[1])
		if o := runs(t, "plan", file); o.code != exitFine || !strings.Contains(o.out, "step 1: bend") {
			t.Errorf("plan of README's part ends with %d: %s%s", o.code, o.out, o.err)
		}
	}
}

// TestReadmeNames: every command and file that README speaks of exists.
func TestReadmeNames(t *testing.T) {
	readme := readText(t, "../../README.md")
	for _, m := range regexp.MustCompile("[`\n]brakeside ([a-z-]+)").FindAllStringSubmatch(readme, -1) {
		if !slices.ContainsFunc(commands, func(c command) bool { return c.name == m[1] }) {
			t.Errorf("README speaks of brakeside %s, which is no command", m[1])
		}
	}
	for _, m := range regexp.MustCompile("`((?:cmd|testdata|\\.ci)[a-z/.-]*)`").FindAllStringSubmatch(readme, -1) {
		if _, err := os.Stat(filepath.Join("../..", m[1])); err != nil {
			t.Errorf("README speaks of %s: %v", m[1], err)
		}
	}
}
