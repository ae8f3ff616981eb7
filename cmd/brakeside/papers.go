package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/papers"
	"brakeside/traveler/pdf"
)

// printCard prints the card that hangs on the wall by a brake.
func printCard(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("card", flag.ContinueOnError)
	name, out := "", ""
	flags.Func("brake", "brake file", filled(&name))
	size := "a4"
	paperFlag(flags, &size)
	flags.Func("o", "file to write", filled(&out))
	if _, err := arguments(flags, args); err != nil {
		return err
	}
	if err := printable("card", out); err != nil {
		return err
	}
	k, err := readBrake(name)
	if err != nil {
		return err
	}
	page, err := papers.Card(traveler.FreezeBrake(k), size)
	if err != nil {
		return err
	}
	return onePage(out, page)
}

// printLabel prints the label for a box of finished pieces, and the address
// that its code opens.
func printLabel(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("label", flag.ContinueOnError)
	var o sheetOrder
	base := ""
	o.on(flags)
	flags.Func("url", "address of the service, in the QR code", named(&base, mostAddress))
	flags.Func("code", "code of the job's sheet; a new one if none is given", sheetCode(&o.issue.Code))
	others, err := arguments(flags, args, "PART.json")
	if err != nil {
		return err
	}
	if err := printable("label", o.out); err != nil {
		return err
	}
	if o.issue.Base, err = baseOf(base, defaultAddr); err != nil {
		return err
	}
	if o.issue.Code == "" {
		if o.issue.Code, err = traveler.NewCode(rand.Reader); err != nil {
			return err
		}
	}
	o.part = others[0]
	t, err := o.freeze(s)
	if err != nil {
		return err
	}
	page, err := papers.Label(t)
	if err != nil {
		return err
	}
	if err := onePage(o.out, page); err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "%s\n%s\n", o.out, t.Address)
	return err
}

// printCuts prints the page for the shear. The blank is the one of the sheet
// for the same brake, since what a bend uses up may depend on the bar: so a
// part that this brake cannot bend is not sheared for it either.
func printCuts(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("shear", flag.ContinueOnError)
	var o sheetOrder
	cut := papers.CutOrder{Trim: papers.UsualTrim}
	o.on(flags)
	paperFlag(flags, &o.issue.Paper)
	flags.Func("stock", "sheet to cut from, 2500x1250: its length, along which the grain runs, and its width; may be given again",
		sheetSize(&cut.Stock))
	flags.Func("trim", "millimetres trimmed off each mill edge of a sheet (5 if not given)", cutAway(&cut.Trim))
	flags.Func("gap", "millimetres that each cut uses up, as a saw's kerf does (0 if not given: a shear uses none)", cutAway(&cut.Gap))
	others, err := arguments(flags, args, "PART.json")
	if err != nil {
		return err
	}
	if err := printable("shear", o.out); err != nil {
		return err
	}
	o.part = others[0]
	t, err := o.freeze(s)
	if err != nil {
		return err
	}
	cut.Traveler = t
	page, err := papers.CutSheet(cut)
	if err != nil {
		return err
	}
	return onePage(o.out, page)
}

// on adds the flags of all papers that belong to a job.
func (o *sheetOrder) on(flags *flag.FlagSet) {
	flags.Func("brake", "brake file", filled(&o.brake))
	o.figures.on(flags)
	flags.Func("job", "job number", named(&o.issue.Job, 40))
	o.quantity = pieces(flags)
	flags.Func("o", "file to write", filled(&o.out))
}

// paperFlag is the flag of the paper to print on.
func paperFlag(flags *flag.FlagSet, into *string) {
	flags.Func("paper", "a4 or letter (a4 if not given)", oneOf(into, "a4", "letter"))
}

// printable refuses a file that is to be no PDF.
func printable(command, out string) error {
	if strings.ToLower(filepath.Ext(out)) != ".pdf" {
		return misused("%s: name the file to write with -o; it must end in .pdf", command)
	}
	return nil
}

// onePage writes a page as a PDF, dated so that equal pages are equal files.
func onePage(out string, page *draw.Page) error {
	var b bytes.Buffer
	err := pdf.Write(&b, pdf.Document{Title: page.Title, Created: time.Unix(0, 0), Pages: []*draw.Page{page}})
	if err != nil {
		return err
	}
	return writeFile(out, func(w io.Writer) error { _, err := w.Write(b.Bytes()); return err })
}

// sheetCode is the value of a flag that names the code of a sheet, as it is
// printed or typed.
func sheetCode(into *string) func(string) error {
	return func(v string) error {
		code := traveler.TidyCode(v)
		if !traveler.ValidCode(code) {
			return fmt.Errorf("%.40q is no code of a sheet; type the letters and digits under its QR code", v)
		}
		*into = code
		return nil
	}
}

// Limits of the sheets to cut from, in millimetres.
const (
	leastStock unit.MM = 10
	mostStock  unit.MM = 20000
)

// sheetSize is the value of a flag that names sizes of sheet one by one.
func sheetSize(into *[]papers.Stock) func(string) error {
	return func(v string) error {
		length, width, _ := strings.Cut(strings.ToLower(v), "x")
		var sides [2]unit.MM
		for i, text := range []string{length, width} {
			side, err := unit.ParseMM(text, unit.Metric)
			if err != nil || side < leastStock || side > mostStock {
				return fmt.Errorf("%q is no size of sheet; write length x width in millimetres, 2500x1250", v)
			}
			sides[i] = side
		}
		*into = append(*into, papers.Stock{Length: sides[0], Width: sides[1]})
		return nil
	}
}

// mostCutAway is the most that a trim or a cut may take, in millimetres.
const mostCutAway unit.MM = 100

// cutAway is the value of a flag that names what a trim or a cut takes away.
func cutAway(into *unit.MM) func(string) error {
	return func(v string) error {
		away, err := unit.ParseMM(v, unit.Metric)
		if err != nil || away < 0 || away > mostCutAway {
			return fmt.Errorf("%q is no trim or gap; write millimetres from 0 to 100", v)
		}
		*into = away
		return nil
	}
}
