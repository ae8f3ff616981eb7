package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"brakeside/calc"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/dxf"
	"brakeside/traveler/layout"
	"brakeside/traveler/pdf"
	"brakeside/traveler/sheet"
	"brakeside/traveler/svg"
)

// drawFlat draws the blank.
func drawFlat(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("flat", flag.ContinueOnError)
	out := ""
	flags.Func("o", "file to write", filled(&out))
	others, err := arguments(flags, args, "PART.json")
	if err != nil {
		return err
	}
	write, ok := blankWriters[strings.ToLower(filepath.Ext(out))]
	if !ok {
		return misused("flat: name the file to write with -o; its ending, .svg, .pdf or .dxf, picks the kind")
	}
	p, err := readPart(others[0])
	if err != nil {
		return err
	}
	plan, err := calc.Shop{}.Draft(p)
	if err != nil {
		return &inFile{others[0], err}
	}
	return writeFile(out, func(w io.Writer) error { return write(w, plan) })
}

var blankWriters = map[string]func(io.Writer, *calc.Plan) error{
	".svg": func(w io.Writer, p *calc.Plan) error { return svg.Write(w, blankPage(p)) },
	".pdf": func(w io.Writer, p *calc.Plan) error {
		page := blankPage(p)
		return pdf.Write(w, pdf.Document{Title: page.Title, Created: time.Unix(0, 0), Pages: []*draw.Page{page}})
	},
	".dxf": func(w io.Writer, p *calc.Plan) error { return dxf.Write(w, layout.Plain(traveler.FreezeBlank(p))) },
}

func blankPage(p *calc.Plan) *draw.Page {
	return layout.Dimensioned(traveler.FreezeBlank(p), traveler.FreezePart(p))
}

// printSheet prints a traveler without a service.
func printSheet(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("sheet", flag.ContinueOnError)
	var o sheetOrder
	base := ""
	flags.Func("brake", "brake file", filled(&o.brake))
	flags.StringVar(&o.issue.Job, "job", "", "job number")
	o.quantity = pieces(flags)
	flags.Func("url", "address of the service, in the QR code", filled(&base))
	flags.StringVar(&o.issue.Paper, "paper", "a4", "a4 or letter")
	flags.Func("o", "file to write", filled(&o.out))
	others, err := arguments(flags, args, "PART.json")
	if err != nil {
		return err
	}
	if o.issue.Paper != "a4" && o.issue.Paper != "letter" {
		return misused("sheet: there is no paper %q; write a4 or letter", o.issue.Paper)
	}
	if strings.ToLower(filepath.Ext(o.out)) != ".pdf" {
		return misused("sheet: name the file to write with -o; it must end in .pdf")
	}
	if o.issue.Base, err = baseOf(base, defaultAddr); err != nil {
		return err
	}
	o.part = others[0]
	return sheetFile(s, o)
}

// sheetOrder is what a sheet is printed from, and to.
type sheetOrder struct {
	part, brake, out string
	quantity         *int
	issue            traveler.Issue
}

func sheetFile(s streams, o sheetOrder) error {
	plans, err := plansOn(o.part, []string{o.brake}, calc.Options{Quantity: *o.quantity})
	if err != nil {
		return err
	}
	if err := noneFeasible(plans); err != nil {
		return errors.Join(err, printBlocked(s.err, plans[0]))
	}
	o.issue.IssuedAt = time.Now().UTC().Format(time.RFC3339)
	if o.issue.Code, err = traveler.NewCode(rand.Reader); err != nil {
		return err
	}
	t, err := traveler.Freeze(plans[0].Plan, o.issue)
	if err != nil {
		return err
	}
	printed, err := printTraveler(t)
	if err != nil {
		return err
	}
	if err := writeFile(o.out, func(w io.Writer) error { _, err := w.Write(printed); return err }); err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "%s\n%s\n", o.out, t.Address)
	return err
}

// printTraveler renders a traveler as a PDF.
func printTraveler(t *traveler.Traveler) ([]byte, error) {
	doc, err := sheet.Document(t)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := pdf.Write(&b, doc); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
