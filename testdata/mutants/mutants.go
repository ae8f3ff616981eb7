// Command mutants asks whether tests notice: it changes one figure or one
// comparison of calc or traveler at a time, runs the tests of that package, and
// prints each change that none of them noticed.
//
//	go run ./testdata/mutants                      # 150 of all, always the same
//	go run ./testdata/mutants -n 0 -only calc/lift # every one of a package, a file or a line
//
// The tree is not touched: the toolchain reads the changed file in place of the
// one that is there (-overlay). What does not build is not counted, what does
// not end in time is noticed, what reads the tree itself is taken as it stands.
// One process works at a time, on one processor.
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io/fs"
	"log"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

func main() {
	log.SetFlags(0)
	n := flag.Int("n", 150, "how many mutants, 0 for all")
	seed := flag.Uint64("seed", 1, "which mutants are drawn")
	only := flag.String("only", "", "only mutants whose line begins so, as calc/lift/ or traveler/freeze.go:209")
	slow := flag.Duration("slow", 20*time.Second, "packages whose tests take longer are left out")
	short := flag.Bool("short", false, "run the tests with -short")
	flag.Parse()
	r := runner{short: *short, slow: *slow, usual: map[string]time.Duration{}}
	all, err := drawn(*only, *seed)
	if err != nil {
		log.Fatal(err)
	}
	looked, survived := 0, 0
	for _, m := range all {
		if *n > 0 && looked == *n {
			break
		}
		switch noticed, err := r.noticed(m); {
		case err != nil:
			log.Fatal(err)
		case noticed == survivor:
			survived++
			fmt.Println(m)
			fallthrough
		case noticed == killed:
			looked++
		}
	}
	fmt.Printf("%d of %d mutants survived\n", survived, looked)
}

// drawn gives the mutants of calc and traveler in an order that the seed alone
// decides. Rooms named internal serve tests only.
func drawn(only string, seed uint64) ([]mutant, error) {
	var all []mutant
	for _, top := range []string{"calc", "traveler"} {
		err := filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil || !d.IsDir():
				return err
			case d.Name() == "internal":
				return filepath.SkipDir
			}
			of, err := mutants(path)
			all = append(all, of...)
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	all = slices.DeleteFunc(all, func(m mutant) bool { return !strings.HasPrefix(m.String(), only) })
	rand.New(rand.NewPCG(seed, 0)).Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all, nil
}

// runner runs the tests of packages and knows how long they usually take.
type runner struct {
	short bool
	slow  time.Duration
	usual map[string]time.Duration // of a folder; 0 is left out
}

// What became of a mutant.
type fate int

const (
	left     fate = iota // not looked at: it does not build, or its package is left out
	killed               // a test failed, or did not end
	survivor             // all tests pass
)

// noticed has the tests of a mutant's package run on it.
func (r runner) noticed(m mutant) (fate, error) {
	usual, known := r.usual[m.folder]
	if !known {
		var err error
		if usual, err = r.unchanged(m.folder); err != nil {
			return left, err
		}
		r.usual[m.folder] = usual
	}
	if usual == 0 {
		return left, nil
	}
	overlay, clean, err := overlay(m)
	if err != nil {
		return left, err
	}
	defer clean()
	if r.test(m.folder, 5*time.Minute, "-overlay="+overlay, "-run=^$") != nil {
		return left, nil
	}
	if r.test(m.folder, 10*time.Second+5*usual, "-overlay="+overlay) != nil {
		return killed, nil
	}
	return survivor, nil
}

// unchanged gives how long the tests of a package take as it is, and 0, with a
// line on the screen that says so, when it has none or they take too long.
func (r runner) unchanged(folder string) (time.Duration, error) {
	if tests, _ := filepath.Glob(filepath.Join(folder, "*_test.go")); len(tests) == 0 {
		fmt.Printf("%s has no tests of its own and is left out\n", folder)
		return 0, nil
	}
	if err := r.test(folder, 5*time.Minute, "-run=^$"); err != nil {
		return 0, fmt.Errorf("%s as it is: %w", folder, err)
	}
	begun := time.Now()
	err := r.test(folder, 2*r.slow)
	took := time.Since(begun)
	switch {
	case took > r.slow:
		fmt.Printf("%s is left out: its tests take %s\n", folder, took.Round(time.Second))
		return 0, nil
	case err != nil:
		return 0, fmt.Errorf("%s as it is: %w", folder, err)
	}
	return took, nil
}

// test runs the tests of a package and reports whether they pass in time.
func (r runner) test(folder string, limit time.Duration, flags ...string) error {
	args := append([]string{"test", "-p=1", "-count=1", "-failfast", "-vet=off", "-timeout=" + limit.String()}, flags...)
	if r.short {
		args = append(args, "-short")
	}
	ctx, cancel := context.WithTimeout(context.Background(), limit+time.Minute)
	defer cancel()
	c := exec.CommandContext(ctx, "go", append(args, "./"+folder)...)
	c.Env = append(os.Environ(), "GOMAXPROCS=1", "RAPID_NOFAILFILE=true")
	c.WaitDelay = time.Second
	if out, err := c.CombinedOutput(); err != nil {
		return fmt.Errorf("%w\n%s", err, out)
	}
	return nil
}

// overlay writes what has the toolchain read a mutant in place of its file, and
// gives its name and what takes it away again.
func overlay(m mutant) (name string, clean func(), err error) {
	folder, err := os.MkdirTemp("", "mutant")
	if err != nil {
		return "", nil, err
	}
	clean = func() { os.RemoveAll(folder) }
	text, err := m.text()
	if err == nil {
		err = os.WriteFile(filepath.Join(folder, "mutant.go"), text, 0o600)
	}
	if err != nil {
		return "", clean, err
	}
	place, err := filepath.Abs(m.file)
	if err != nil {
		return "", clean, err
	}
	list, err := json.Marshal(map[string]map[string]string{"Replace": {place: filepath.Join(folder, "mutant.go")}})
	if err != nil {
		return "", clean, err
	}
	name = filepath.Join(folder, "overlay.json")
	return name, clean, os.WriteFile(name, list, 0o600)
}
