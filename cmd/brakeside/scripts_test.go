package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// fewestScripts guards against a folder that was moved or emptied.
const fewestScripts = 7

// TestScripts runs the command lines of testdata/scripts. Each finds the parts
// and the brake of the demo in shop, those of the planner's suite in suite, and
// the address of a port that is taken in BUSY.
func TestScripts(t *testing.T) {
	scripts, err := filepath.Glob("../../testdata/scripts/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	if len(scripts) < fewestScripts {
		t.Fatalf("found %d scripts, want at least %d", len(scripts), fewestScripts)
	}
	testscript.Run(t, testscript.Params{
		Files: scripts, UpdateScripts: *update, RequireExplicitExec: true, RequireUniqueNames: true, Setup: furnishScript,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "complains": complains, "holds": holds, "is": isField, "paper": paper,
		},
	})
}

func furnishScript(env *testscript.Env) error {
	for to, from := range map[string]string{"shop": "shop", "suite": "../../testdata/suite", "brakes": "../../testdata/brakes", "imports": "../../testdata/drawings/imports"} {
		if err := os.CopyFS(filepath.Join(env.WorkDir, to), os.DirFS(from)); err != nil {
			return err
		}
	}
	busy, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	env.Defer(func() { busy.Close() })
	env.Setenv("BUSY", busy.Addr().String())
	return nil
}

// exits CODE PROGRAM ARGUMENT... runs a program and wants the exit code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ARGUMENT...")
	}
	code := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var ended *exec.ExitError
		if !errors.As(err, &ended) {
			ts.Fatalf("%s: %v", args[1], err)
		}
		code = ended.ExitCode()
	}
	if strconv.Itoa(code) != args[0] {
		ts.Fatalf("%s ended with %d, want %s", strings.Join(args[1:], " "), code, args[0])
	}
}

// complains PATTERN wants exactly one line on standard error, which the regular
// expression matches from end to end, and nothing on standard output.
func complains(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: complains PATTERN")
	}
	out, told := ts.ReadFile("stdout"), ts.ReadFile("stderr")
	if out != "" || strings.Count(told, "\n") != 1 {
		ts.Fatalf("want one line on standard error only; standard output %q, standard error %q", out, told)
	}
	pattern, err := regexp.Compile("^" + args[0] + "\n$")
	ts.Check(err)
	if !pattern.MatchString(told) {
		ts.Fatalf("standard error %q does not match %s", told, pattern)
	}
}

// holds FOLDER NAME... wants exactly these names in a folder, hidden files
// counted.
func holds(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: holds FOLDER NAME...")
	}
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	want := slices.Sorted(slices.Values(args[1:]))
	if !slices.Equal(names, want) {
		ts.Fatalf("%s holds %q, want %q", args[0], names, want)
	}
}

// is PATH VALUE wants a field of the JSON on standard output. The path is
// written order.0.bar; len counts.
func isField(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: is PATH VALUE")
	}
	var value any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &value))
	found, err := dig(value, args[0])
	ts.Check(err)
	if got := fmt.Sprint(found); (got == args[1]) == neg {
		ts.Fatalf("%s is %s, want %s (not: %t)", args[0], got, args[1], neg)
	}
}

// dig follows a path into a JSON value.
func dig(value any, path string) (any, error) {
	for _, name := range strings.Split(path, ".") {
		switch v := value.(type) {
		case map[string]any:
			inside, ok := v[name]
			if !ok {
				return nil, fmt.Errorf("%s: there is no field %s", path, name)
			}
			value = inside
		case []any:
			if name == "len" {
				value = len(v)
				continue
			}
			i, err := strconv.Atoi(name)
			if err != nil || i < 0 || i >= len(v) {
				return nil, fmt.Errorf("%s: there is no element %s of %d", path, name, len(v))
			}
			value = v[i]
		default:
			return nil, fmt.Errorf("%s: %s is looked for in %v", path, name, value)
		}
	}
	return value, nil
}

// paper FILE SIZE wants a whole PDF on paper of that size, 595.28x841.89 points
// for example.
func paper(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: paper FILE SIZE")
	}
	if pages, size := pdfPages(ts.ReadFile(args[0])); pages == 0 || size != args[1] {
		ts.Fatalf("%s has %d pages of %s points, want %s", args[0], pages, size, args[1])
	}
}
