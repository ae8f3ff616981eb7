package main

import (
	"bufio"
	"cmp"
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"brakeside/calc/drawing"
	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/part"
	"brakeside/calc/unit"
	"brakeside/traveler/dxf"
)

// importOrder is what the import of a drawing is told by flags.
type importOrder struct {
	out, number, title, revision string
	material, gauge              string
	outline, up, down            []string // layers
	thickness, radius            unit.MM
	units                        dxf.Units
	angles                       drawing.Angles
	figures                      shopFlags
}

// importDrawing makes a part file of a drawing.
func importDrawing(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("import", flag.ContinueOnError)
	o := importOrder{angles: drawing.Angles{Of: map[string]unit.Deg{}}}
	o.on(flags)
	others, err := arguments(flags, args, "DRAWING.dxf")
	if err != nil {
		return err
	}
	if o.out == "" {
		return misused("import: name the part file to write with -o")
	}
	d, err := readDrawing(others[0], o.units)
	if err != nil {
		return err
	}
	asks := asker{bufio.NewScanner(s.in), s.err}
	if d.Doubtful() {
		if d, err = o.inUnit(d, others[0], asks); err != nil {
			return err
		}
	}
	if err := o.ask(d, asks); err != nil {
		return err
	}
	if o.number == "" {
		o.number = strings.TrimSuffix(filepath.Base(others[0]), filepath.Ext(others[0]))
	}
	sorted := o.sorted(d)
	p, read, err := sorted.Into(o.part())
	if err != nil {
		return &inFile{others[0], err}
	}
	text, err := part.Write(p)
	if err != nil {
		return err
	}
	shop, err := o.figures.shop()
	if err != nil {
		return err
	}
	if err := buildable(text, shop); err != nil {
		return &inFile{others[0], err}
	}
	if err := writeFile(o.out, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
		return err
	}
	return imported(s.out, sorted, p, read)
}

func (o *importOrder) on(flags *flag.FlagSet) {
	o.figures.on(flags)
	flags.Func("o", "part file to write", filled(&o.out))
	flags.Func("outline", "layer of the outline and the openings; may be given several times", layers(&o.outline))
	flags.Func("bends", "layer of bend lines folded up, towards the viewer; may be given several times", layers(&o.up))
	flags.Func("down", "layer of bend lines folded down; may be given several times", layers(&o.down))
	flags.Func("angle", "bend angle of all bends (90 if not given), or of one: b2=45; below 0 folds the other way", o.angle)
	flags.Func("material", "material, for example mild-steel", named(&o.material, 80))
	flags.Func("thickness", "thickness of the sheet, in mm", length(&o.thickness))
	flags.Func("gauge", "or its gauge", named(&o.gauge, 20))
	flags.Func("radius", "inside radius of the bends, in mm", length(&o.radius))
	flags.Func("units", "mm or in, for a drawing that does not say", o.unit)
	flags.Func("number", "part number; the name of the drawing if not given", named(&o.number, 200))
	flags.StringVar(&o.title, "title", "", "title of the part")
	flags.StringVar(&o.revision, "revision", "", "revision of the part")
}

func (o *importOrder) unit(v string) error {
	o.units = dxf.Units(v)
	if o.units != dxf.Millimetres && o.units != dxf.Inches {
		return fmt.Errorf("%q is not mm or in", v)
	}
	return nil
}

// inUnit asks for the unit of a drawing that may be in inches, and reads it again.
func (o *importOrder) inUnit(d *dxf.Drawing, name string, a asker) (*dxf.Drawing, error) {
	wide, high := d.Size()
	answer := ""
	question := fmt.Sprintf("is it drawn in mm or in inches (the drawing does not say, and is %.4g by %.4g)", wide, high)
	if err := a.ask(&answer, question, "-units mm or -units in"); err != nil {
		return nil, err
	}
	if err := o.unit(answer); err != nil {
		return nil, misused("import: %v", err)
	}
	return readDrawing(name, o.units)
}

func layers(into *[]string) func(string) error {
	return func(v string) error {
		*into = append(*into, v)
		return nil
	}
}

func length(into *unit.MM) func(string) error {
	return func(v string) (err error) {
		*into, err = unit.ParseMM(v, unit.Metric)
		return err
	}
}

// angle reads -angle 90 or -angle b2=-45.
func (o *importOrder) angle(v string) error {
	id, text, one := strings.Cut(v, "=")
	if !one {
		text = v
	}
	a, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || !(a > -180 && a < 180) || a == 0 {
		return fmt.Errorf("%q is no bend angle; give more than 0 and less than 180 degrees, below 0 to fold the other way", text)
	}
	if one {
		o.angles.Of[strings.TrimSpace(id)] = unit.Deg(a)
		return nil
	}
	o.angles.All = unit.Deg(a)
	return nil
}

func readDrawing(name string, units dxf.Units) (*dxf.Drawing, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, &inFile{name, plainly(err)}
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, dxf.MaxBytes+1))
	if err != nil {
		return nil, &inFile{name, plainly(err)}
	}
	d, err := dxf.Read(data, units)
	if err != nil {
		return nil, &inFile{name, err}
	}
	return d, nil
}

// asker asks a person for what no flag told.
type asker struct {
	in  *bufio.Scanner
	out io.Writer
}

// ask fills an empty value with an answer; no answer is bad usage.
func (a asker) ask(into *string, question, flag string) error {
	if *into != "" {
		return nil
	}
	fmt.Fprintf(a.out, "%s? ", question)
	if a.in.Scan() {
		*into = strings.TrimSpace(a.in.Text())
	}
	if *into == "" {
		return misused("import: %s? give it with %s", question, flag)
	}
	return nil
}

// ask asks for the layers and the sheet where flags do not tell them.
func (o *importOrder) ask(d *dxf.Drawing, a asker) error {
	there := "the drawing has the layers " + strings.Join(d.Layers(), ", ")
	for _, q := range []struct {
		known    int
		into     *[]string
		on, flag string
	}{{len(o.outline), &o.outline, "is the outline on", "-outline"}, {len(o.up) + len(o.down), &o.up, "are the bend lines on", "-bends"}} {
		if q.known > 0 {
			continue
		}
		layer := ""
		if err := a.ask(&layer, "which layer "+q.on+" ("+there+")", q.flag); err != nil {
			return err
		}
		*q.into = []string{layer}
	}
	if err := a.ask(&o.material, "which material", "-material"); err != nil {
		return err
	}
	thickness := o.gauge
	if o.thickness > 0 {
		thickness = "given"
	}
	if err := a.ask(&thickness, "how thick is it, in mm", "-thickness or -gauge"); err != nil {
		return err
	}
	if o.thickness == 0 && o.gauge == "" {
		if err := length(&o.thickness)(thickness); err != nil {
			return misused("import: %v", err)
		}
	}
	return nil
}

// sorted says what the layers of the drawing mean.
func (o *importOrder) sorted(d *dxf.Drawing) dxf.Sorted {
	angles := o.angles
	angles.All = cmp.Or(angles.All, 90)
	return dxf.Sorted{Drawing: d, Outline: o.outline, Up: o.up, Down: o.down, Angles: angles}
}

// part is the part without its shape.
func (o *importOrder) part() part.Part {
	return part.Part{
		Number: o.number, Title: o.title, Revision: o.revision, Material: o.material, Thickness: o.thickness, Gauge: o.gauge,
		InsideRadius: o.radius,
	}
}

// buildable makes sure that what is written can be read and developed.
func buildable(text []byte, shop figures.Shop) error {
	p, err := part.Read(text)
	if err != nil {
		return unplaced(err)
	}
	_, err = shop.Draft(p)
	return unplaced(err)
}

// unplaced takes off a refusal the place in a part file that nobody has seen.
func unplaced(err error) error {
	if r, ok := err.(*fault.Refusal); ok {
		return &fault.Refusal{Kind: r.Kind, Message: r.Message}
	}
	return err
}

// imported tells what was made of the drawing.
func imported(w io.Writer, s dxf.Sorted, p part.Part, read drawing.Read) error {
	units := string(s.Drawing.Units)
	if units == "" {
		units = "not named, read as mm"
	}
	fmt.Fprintf(w, "%s: %d faces, %d bends, %d holes, %d cutouts; units: %s; arcs became chords at most %v mm inside them\n",
		p.Number, len(p.Flat.Faces), len(p.Flat.Bends), len(p.Holes), len(p.Cutouts), units, dxf.ChordError)
	if read.Dropped > 0 {
		fmt.Fprintf(w, "%d lines drawn twice were taken once\n", read.Dropped)
	}
	if read.Dashes > 0 {
		fmt.Fprintf(w, "%d dashes were joined into bend lines\n", read.Dashes)
	}
	accounted(w, s)
	for _, b := range p.Flat.Bends {
		fmt.Fprintf(w, "%s  %s degrees  (%s, %s) to (%s, %s)  between %s\n", b.ID, b.Angle.Text(1),
			b.Line[0][0].Text(2), b.Line[0][1].Text(2), b.Line[1][0].Text(2), b.Line[1][1].Text(2), b.Between[0]+" and "+b.Between[1])
	}
	_, err := fmt.Fprintln(w, "look at it with brakeside flat before you cut")
	return err
}

// accounted tells what was used of the drawing and what was left out, and why.
func accounted(w io.Writer, s dxf.Sorted) {
	used, left := s.Account()
	var words []string
	for _, t := range used {
		words = append(words, t.Kind.Of(t.Count))
	}
	fmt.Fprintf(w, "used: %s\n", strings.Join(words, ", "))
	for _, t := range left {
		first := "at"
		if t.Count > 1 {
			first = "the first at"
		}
		fmt.Fprintf(w, "left out: %s on the layer %s, %s (%.2f, %.2f): %s\n", t.Kind.Of(t.Count), t.Layer, first, t.At.X, t.At.Y, t.Why)
	}
}
