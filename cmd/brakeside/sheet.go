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
	"brakeside/calc/process"
	"brakeside/calc/unit"
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
	var figures shopFlags
	figures.on(flags)
	ticks := unit.MM(0)
	flags.Func("o", "file to write", filled(&out))
	flags.Func("ticks", "length of the marks at the ends of bend lines in a .dxf, in mm", func(v string) (err error) {
		ticks, err = unit.ParseMM(v, unit.Metric)
		return err
	})
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
	shop, err := figures.shop()
	if err != nil {
		return err
	}
	plan, err := shop.Draft(p)
	if err != nil {
		return &inFile{others[0], err}
	}
	return writeFile(out, func(w io.Writer) error { return write(w, plan, ticks) })
}

var blankWriters = map[string]func(io.Writer, *process.Plan, unit.MM) error{
	".svg": func(w io.Writer, p *process.Plan, _ unit.MM) error { return svg.Write(w, blankPage(p)) },
	".pdf": func(w io.Writer, p *process.Plan, _ unit.MM) error {
		page := blankPage(p)
		return pdf.Write(w, pdf.Document{Title: page.Title, Created: time.Unix(0, 0), Pages: []*draw.Page{page}})
	},
	".dxf": func(w io.Writer, p *process.Plan, ticks unit.MM) error {
		return dxf.Write(w, layout.Ticked(traveler.FreezeBlank(p), ticks.Micron()))
	},
}

func blankPage(p *process.Plan) *draw.Page {
	return layout.Dimensioned(traveler.FreezeBlank(p), traveler.FreezePart(p))
}

// printSheet prints a traveler without a service.
func printSheet(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("sheet", flag.ContinueOnError)
	var o sheetOrder
	base := ""
	o.on(flags)
	flags.Func("url", "address of the service, in the QR code", filled(&base))
	flags.StringVar(&o.issue.Paper, "paper", "a4", "a4 or letter")
	others, err := arguments(flags, args, "PART.json")
	if err != nil {
		return err
	}
	if err := printable("sheet", o.issue.Paper, o.out); err != nil {
		return err
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
	figures          shopFlags
	issue            traveler.Issue
}

func sheetFile(s streams, o sheetOrder) error {
	var err error
	if o.issue.Code, err = traveler.NewCode(rand.Reader); err != nil {
		return err
	}
	t, err := o.readied(s)
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

// readied is freeze, with what the sheet needs besides made ready on the side.
func (o sheetOrder) readied(s streams) (*traveler.Traveler, error) {
	ctx, planned := context.WithCancel(context.Background())
	defer planned()
	go sheet.Ahead(ctx, o.issue.Address())
	return o.freeze(s)
}

// freeze plans the part and makes its traveler; why it cannot be bent is told
// on standard error.
func (o sheetOrder) freeze(s streams) (*traveler.Traveler, error) {
	shop, err := o.figures.shop()
	if err != nil {
		return nil, err
	}
	plans, err := plansOn(o.part, []string{o.brake}, calc.Options{Quantity: *o.quantity, Shop: shop})
	if err != nil {
		return nil, err
	}
	if err := noneFeasible(plans); err != nil {
		return nil, errors.Join(err, printBlocked(s.err, plans[0]))
	}
	o.issue.IssuedAt = time.Now().UTC().Format(time.RFC3339)
	return traveler.Freeze(plans[0].Plan, o.issue)
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
