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
	"brakeside/traveler/blankfile"
	"brakeside/traveler/pdf"
	"brakeside/traveler/sheet"
)

// drawFlat draws the blank, the very one that plan and sheet give on the same
// brake: what a bend uses up may depend on the bar.
func drawFlat(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("flat", flag.ContinueOnError)
	out, on := "", ""
	var figures shopFlags
	figures.on(flags)
	flags.Func("brake", "brake file", filled(&on))
	quantity := pieces(flags)
	var drawing blankfile.Drawing
	flags.Func("o", "file to write", filled(&out))
	flags.Func("ticks", "length of the marks at the ends of bend lines in a .dxf, in mm", func(v string) error {
		ticks, err := unit.ParseMM(v, unit.Metric)
		drawing.Ticks = ticks.Micron()
		return err
	})
	others, err := arguments(flags, args, "PART.json")
	if err != nil {
		return err
	}
	kind := blankfile.Kind(strings.TrimPrefix(strings.ToLower(filepath.Ext(out)), "."))
	if kind.MediaType() == "" {
		return misused("flat: name the file to write with -o; its ending, .svg, .pdf or .dxf, picks the kind")
	}
	shop, err := figures.shop()
	if err != nil {
		return err
	}
	plans, err := plansOn(others[0], []string{on}, calc.Options{Quantity: *quantity, Shop: shop})
	if err != nil {
		return err
	}
	plan := plans[0].Plan
	drawing.Blank, drawing.Part, drawing.System = traveler.FreezeBlank(plan), traveler.FreezePart(plan), plan.Blank.Part.Units()
	if err := writeFile(out, func(w io.Writer) error { return drawing.Write(w, kind) }); err != nil {
		return err
	}
	return warnUnbendable(s.err, plan)
}

// warnUnbendable says of a blank that was drawn that its part is not made of it on
// this brake.
func warnUnbendable(w io.Writer, p *process.Plan) error {
	if p.Feasible {
		return nil
	}
	_, err := fmt.Fprintf(w, "The blank is drawn, but no way was found to bend %s on %s: brakeside plan tells why.\n",
		p.Blank.Part.Number, p.Brake.Name)
	return err
}

// printSheet prints a traveler without a service.
func printSheet(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("sheet", flag.ContinueOnError)
	var o sheetOrder
	base := ""
	o.on(flags)
	flags.Func("url", "address of the service, in the QR code", named(&base, mostAddress))
	paperFlag(flags, &o.issue.Paper)
	others, err := arguments(flags, args, "PART.json")
	if err != nil {
		return err
	}
	if err := printable("sheet", o.out); err != nil {
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
	o.issue.Units = plans[0].Plan.Blank.Part.Units()
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
