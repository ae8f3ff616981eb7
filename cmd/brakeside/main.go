// Command brakeside makes travelers for a folding brake and keeps the log of
// what was bent from them.
//
//	brakeside demo [-addr HOST:PORT] [-data DIR] [-once | -empty]
//	brakeside serve [-addr HOST:PORT] [-data DIR] [-url BASE] [-names N,N] [-tls-cert F -tls-key F] [-backup DIR] [-keep N] [-words F.po]
//	brakeside unit [-data DIR] [-addr HOST:PORT] [-url BASE] [-backup DIR] [-words F.po]
//	brakeside plan PART.json [-brake BRAKE.json]... [-without BAR]... [-shop SHOP.json] [-rule NAME] [-rules] [-qty N]
//	    [-run by-step|by-piece] [-first BEND] [-next N] [-picture FILE.svg] [-json]
//	brakeside import DRAWING.dxf -outline LAYER -bends LAYER... [-down LAYER]... [-angle A|ID=A]... [-material ID] [-thickness T]
//	    [-gauge N] [-radius R] [-units mm|in] [-number NO] [-title T] [-revision R] [-shop SHOP.json] [-rule NAME]
//	    -o PART.json
//	brakeside flat PART.json [-brake F] [-shop SHOP.json] [-rule NAME] [-qty N] [-ticks T] -o FILE.svg|.pdf|.dxf
//	brakeside sheet PART.json [-brake F] [-shop SHOP.json] [-rule NAME] [-job NO] [-qty N] [-url BASE] [-paper a4|letter] -o FILE.pdf
//	brakeside label PART.json [-brake F] [-shop SHOP.json] [-rule NAME] [-job NO] [-qty N] [-url BASE] [-code CODE] -o FILE.pdf
//	brakeside shear PART.json [-brake F] [-shop SHOP.json] [-rule NAME] [-job NO] [-qty N] [-stock LxW]...
//	    [-trim MM] [-gap MM] [-paper a4|letter] -o FILE.pdf
//	brakeside card [-brake F] [-paper a4|letter] -o FILE.pdf
//	brakeside trial -material ID -thickness T -length L -legs A,B [-gauge N] [-radius R] [-angle DEG] [-measured DEG] [-stop DEG]
//	    [-brake F] [-bar NAME] [-shop SHOP.json] [-adopt -by INITIALS]
//	brakeside backup -data DIR FILE
//	brakeside restore -data DIR [-over] FILE
//	brakeside export -data DIR -o FILE.csv
//	brakeside weekly -data DIR -o FILE.pdf
//	brakeside owner-password -data DIR
//	brakeside check -data DIR
//	brakeside version
//
// It ends with 0 when all is well, 2 on bad usage or bad input, 3 when the
// part cannot be bent on the brake, 4 when damage was found in the store, and
// 1 on a mistake of its own.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"regexp"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"unicode/utf8"

	"brakeside/calc/fault"
	"brakeside/calc/plain"
	"brakeside/server/store"
)

// The exit codes.
const (
	exitFine       = 0
	exitMistake    = 1
	exitBadInput   = 2
	exitUnbendable = 3
	exitDamaged    = 4
)

func main() {
	if len(os.Args) > 1 && os.Getenv("GOGC") == "" {
		setCleaning(os.Args[1])
	}
	os.Exit(run(context.Background(), os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr}))
}

// setCleaning sets how far the memory may grow between two cleanings, in percent of
// what is in use. A service stays small beside the other programs of the shop's
// machine. What ends in a blink does better to grow than to tidy: it is not
// cleaned at all before it has used 24 MB, then as is usual, and more often near
// mostMemory, which the longest searches come to.
func setCleaning(command string) {
	if slices.Contains([]string{"serve", "demo"}, command) {
		debug.SetGCPercent(70)
		return
	}
	debug.SetGCPercent(600)
	debug.SetMemoryLimit(mostMemory)
	// Nobody holds these streams: the first cleaning finds them and runs this.
	runtime.AddCleanup(&streams{}, func(percent int) { debug.SetGCPercent(percent) }, 200)
}

// mostMemory is what a command that plans keeps to as long as what is in use is
// less, in bytes.
const mostMemory = 100 << 20

// streams are what a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// command is one word behind the program's name.
type command struct {
	name string
	args string
	does string
	run  func(ctx context.Context, args []string, s streams) error
}

var commands = []command{
	{"demo", "[-addr HOST:PORT] [-data DIR] [-once | -empty]", "start the service on an invented shop", demo},
	{"serve", "[-addr HOST:PORT] [-data DIR] [-url BASE] [-names N,N] [-tls-cert F -tls-key F] [-backup DIR] [-keep N] [-words F.po]",
		"start the service", serve},
	{"unit", "[-data DIR] [-addr HOST:PORT] [-url BASE] [-backup DIR] [-words F.po]",
		"write a unit that has systemd run the service", unitFile},
	{"plan", "PART.json [-brake BRAKE.json]... [-without BAR]... [-shop SHOP.json] [-rule NAME] [-rules] [-qty N]" +
		" [-run by-step|by-piece] [-first BEND] [-next N] [-picture FILE.svg] [-json]",
		"blank, bends, order, bars, stops and cautions", planPart},
	{"import", "DRAWING.dxf -outline LAYER -bends LAYER... [-down LAYER]... [-angle A|ID=A]... [-material ID] [-thickness T]" +
		" [-gauge N] [-radius R] [-units mm|in] [-number NO] [-title T] [-revision R] [-shop SHOP.json] [-rule NAME]" +
		" -o PART.json",
		"make a part file of a drawing", importDrawing},
	{"flat", "PART.json [-brake F] [-shop SHOP.json] [-rule NAME] [-qty N] [-ticks T] -o FILE.svg|.pdf|.dxf",
		"draw the blank; the ending picks the kind", drawFlat},
	{"sheet", "PART.json [-brake F] [-shop SHOP.json] [-rule NAME] [-job NO] [-qty N] [-url BASE] [-paper a4|letter] -o FILE.pdf",
		"print a traveler without a service", printSheet},
	{"label", "PART.json [-brake F] [-shop SHOP.json] [-rule NAME] [-job NO] [-qty N] [-url BASE] [-code CODE] -o FILE.pdf",
		"print the label for a box of finished pieces", printLabel},
	{"shear", "PART.json [-brake F] [-shop SHOP.json] [-rule NAME] [-job NO] [-qty N] [-stock LxW]... [-trim MM] [-gap MM]" +
		" [-paper a4|letter]" +
		" -o FILE.pdf",
		"print how the blanks are cut from sheets that are sold", printCuts},
	{"card", "[-brake F] [-paper a4|letter] -o FILE.pdf", "print the wall card of a brake: cautions and marks", printCard},
	{"trial", "-material ID -thickness T -length L -legs A,B [-gauge N] [-radius R] [-angle DEG] [-measured DEG] [-stop DEG]" +
		" [-brake F] [-bar NAME] [-shop SHOP.json] [-adopt -by INITIALS]",
		"what a trial strip teaches: deduction, K-factor, springback", trialStrip},
	{"backup", "-data DIR FILE", "copy the store, also while the service runs", backup},
	{"restore", "-data DIR [-over] FILE", "put a copy back", restore},
	{"export", "-data DIR -o FILE.csv", "write all readings", export},
	{"weekly", "-data DIR -o FILE.pdf", "write the one-page review", weekly},
	{"owner-password", "-data DIR", "set a new owner's password", ownerPassword},
	{"check", "-data DIR", "look for damage in the store", check},
	{"version", "", "tell the commit this was built of, and the versions of Go and SQLite", version},
}

// run runs one command and gives its exit code.
func run(ctx context.Context, args []string, s streams) int {
	s.out, s.err = &visible{to: s.out}, &visible{to: s.err}
	if len(args) == 0 {
		usage(s.err)
		return exitBadInput
	}
	if slices.Contains([]string{"help", "-h", "-help", "--help"}, args[0]) {
		usage(s.out)
		return exitFine
	}
	for _, c := range commands {
		if c.name != args[0] {
			continue
		}
		err := c.run(ctx, args[1:], s)
		var help *helpWanted
		if errors.As(err, &help) {
			fmt.Fprintf(s.out, "brakeside %s %s\n    %s\n\n", c.name, c.args, c.does)
			help.flags.SetOutput(s.out)
			help.flags.PrintDefaults()
			return exitFine
		}
		return tell(s.err, err)
	}
	fmt.Fprintf(s.err, "brakeside: there is no command %q; brakeside help lists them\n", args[0])
	return exitBadInput
}

func usage(w io.Writer) {
	fmt.Fprintln(w, "brakeside makes travelers for a folding brake and logs the bends made from them.")
	for _, c := range commands {
		fmt.Fprintf(w, "\n  brakeside %s\n      %s\n", strings.TrimSpace(c.name+" "+c.args), c.does)
	}
}

// tell prints an error on one line and gives the exit code for it.
func tell(w io.Writer, err error) int {
	if err == nil {
		return exitFine
	}
	var told *alreadyTold
	if !errors.As(err, &told) {
		fmt.Fprintln(w, strings.ReplaceAll(err.Error(), "\n", " "))
	}
	var in *inFile
	switch {
	case errors.Is(err, store.Damaged):
		return exitDamaged
	case fault.KindOf(err) == fault.Unbendable:
		return exitUnbendable
	case fault.KindOf(err) != fault.Internal, errors.As(err, &in), errors.As(err, new(*os.PathError)), errors.As(err, new(*badUsage)):
		return exitBadInput
	}
	return exitMistake
}

// badUsage is a command line that makes no sense.
type badUsage struct{ text string }

func (b *badUsage) Error() string { return b.text }

func misused(format string, values ...any) error {
	return &badUsage{"brakeside: " + fmt.Sprintf(format, values...)}
}

// inFile is what is wrong with a file, led by its name.
type inFile struct {
	name string
	err  error
}

// Error writes FILE:LINE:COL: field: message, as far as these are known.
func (f *inFile) Error() string {
	var r *fault.Refusal
	if errors.As(f.err, &r) && r.Line > 0 {
		return f.name + ":" + r.Error()
	}
	return f.name + ": " + f.err.Error()
}

func (f *inFile) Unwrap() error { return f.err }

// helpWanted is asking for the flags of a command.
type helpWanted struct{ flags *flag.FlagSet }

func (h *helpWanted) Error() string { return "help wanted" }

// mostPath is how many bytes a flag may have: a path of Linux has no more.
const mostPath = 4096

// mostAddress is how many characters an address may have. Common practice, no source.
const mostAddress = 300

// named is the value of a flag that goes onto paper: a name of so many characters at
// the most, all of which can be seen.
func named(into *string, most int) func(string) error {
	return func(v string) error {
		if n := utf8.RuneCountInString(v); n == 0 || n > most {
			return fmt.Errorf("it has %d characters; give 1 to %d", n, most)
		}
		if bad, found := plain.InName(v); found {
			return fmt.Errorf("it has the character %U, which cannot be seen; take it out", bad)
		}
		*into = v
		return nil
	}
}

// oneOf is the value of a flag that is one of two words.
func oneOf[T ~string](into *T, one, other T) func(string) error {
	return func(v string) error {
		if T(v) != one && T(v) != other {
			return fmt.Errorf("write %s or %s", one, other)
		}
		*into = T(v)
		return nil
	}
}

// several gathers a flag that may be given several times, names as named has them.
func several(into *[]string, most int) func(string) error {
	return func(v string) error {
		name := ""
		err := named(&name, most)(v)
		*into = append(*into, name)
		return err
	}
}

// filled is the value of a flag that names something: leaving it empty is a
// mistake, such as a shell variable that was never set.
func filled(into *string) func(string) error {
	return func(v string) error {
		if v == "" {
			return errors.New("it may not be empty")
		}
		if len(v) > mostPath {
			return fmt.Errorf("it has %d bytes; %d are the most", len(v), mostPath)
		}
		*into = v
		return nil
	}
}

// alreadyTold is an outcome that has been printed in full.
type alreadyTold struct{ error }

func (a *alreadyTold) Unwrap() error { return a.error }

// longValue is a value that package flag cites: of a long one its beginning is enough.
var longValue = regexp.MustCompile(`"((?:[^"\\]|\\.){60})(?:[^"\\]|\\.)+"`)

// arguments reads flags and other arguments in any order, and wants exactly so
// many others.
func arguments(flags *flag.FlagSet, args []string, names ...string) ([]string, error) {
	flags.SetOutput(io.Discard)
	for i, a := range args {
		if len(a) > mostPath {
			before := append([]string{flags.Name()}, args...)[i]
			return nil, misused("%s: what stands after %.60s has %d bytes; %d are the most", flags.Name(), before, len(a), mostPath)
		}
	}
	var others []string
	for {
		if err := flags.Parse(args); errors.Is(err, flag.ErrHelp) {
			return nil, &helpWanted{flags}
		} else if err != nil {
			return nil, misused("%s: %s; brakeside %s -h tells more", flags.Name(), longValue.ReplaceAllString(err.Error(), `"$1..."`), flags.Name())
		}
		if flags.NArg() == 0 {
			break
		}
		others = append(others, flags.Arg(0))
		args = flags.Args()[1:]
	}
	if len(others) != len(names) {
		return nil, misused("%s takes %s; brakeside %s -h tells more", flags.Name(), wanted(names), flags.Name())
	}
	return others, nil
}

func wanted(names []string) string {
	if len(names) == 0 {
		return "no file name"
	}
	return strings.Join(names, " and ")
}
