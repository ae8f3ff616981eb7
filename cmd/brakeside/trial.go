package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"brakeside/calc/bend"
	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// strip is a trial strip as it is told on the command line.
type strip struct {
	bend.Trial
	material, gauge string
	angle           unit.Deg // wanted
	stop            unit.Deg // on the brake's scale; 0 when it was not noted
	brake, bar      string
	file, by        string
	adopt           bool
}

// trialStrip works out what a trial strip teaches, and keeps it if asked to.
func trialStrip(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("trial", flag.ContinueOnError)
	t := strip{angle: 90}
	flags.Func("material", "material of the strip", named(&t.material, 80))
	flags.Func("thickness", "its thickness, as measured", lengthFlag(&t.Thickness))
	flags.Func("gauge", "its gauge, instead of the thickness", named(&t.gauge, 20))
	flags.Func("length", "the length it was cut to", lengthFlag(&t.Blank))
	flags.Func("legs", "both legs measured outside, such as 51.2,51.5", legsFlag(&t.Legs))
	flags.Func("radius", "inside radius as made; the shop's usual one if left out", lengthFlag(&t.Radius))
	flags.Func("angle", "bend angle wanted, 90 if left out", angleFlag(&t.angle))
	flags.Func("measured", "bend angle measured; the one wanted if left out", angleFlag(&t.Angle))
	flags.Func("stop", "where the leaf was stopped, on the brake's scale", angleFlag(&t.stop))
	flags.Func("brake", "brake file: whose scale and bars", filled(&t.brake))
	flags.Func("bar", "bar it was bent under; every bar if left out", named(&t.bar, 200))
	flags.Func("shop", "shop file, for materials of your own and to keep the figures in", filled(&t.file))
	flags.BoolVar(&t.adopt, "adopt", false, "keep the figures in the shop file")
	flags.Func("by", "initials of who measured", named(&t.by, 12))
	if _, err := arguments(flags, args); err != nil {
		return err
	}
	if t.adopt && (t.file == "" || t.by == "") {
		return misused("trial: -adopt needs -shop SHOP.json to keep the figures in, and -by with your initials")
	}
	var out bytes.Buffer
	if err := t.run(&out); err != nil {
		return err
	}
	_, err := s.out.Write(out.Bytes())
	return err
}

// run works the strip out, prints it, and keeps it if asked to.
func (t *strip) run(w io.Writer) error {
	shop, err := t.shop()
	if err != nil {
		return err
	}
	made, err := t.making(shop)
	if err != nil {
		return err
	}
	learned, err := t.Learn()
	if err != nil {
		return flagged(err)
	}
	if err := t.print(w, made, learned); err != nil || !t.adopt {
		return err
	}
	c := t.Calibration(made, learned)
	c.By, c.At = t.by, time.Now().UTC().Format(time.RFC3339)
	if err := keepShop(t.file, shop.Adopt(c)); err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "\nkept in %s for %s %s mm, inside radius %s to %s, %s\n", t.file, c.Material,
		c.Thickness.Text(2), c.Radius[0].Text(2), c.Radius[1].Text(2), barOrAny(c.Bar))
	return err
}

func barOrAny(bar string) string {
	if bar == "" {
		return "every bar"
	}
	return "under " + bar
}

// shop reads the shop file; one that is to be kept in need not be there yet.
func (t *strip) shop() (figures.Shop, error) {
	switch {
	case t.adopt:
		return shopToChange(t.file)
	case t.file != "":
		return readShop(t.file)
	}
	return figures.Shop{}, nil
}

// making tells what was bent under what, and fills in what was left out.
func (t *strip) making(shop figures.Shop) (bend.Making, error) {
	sheet, err := shop.SheetOf(t.material, t.gauge, t.Thickness)
	if err != nil {
		return bend.Making{}, flagged(err)
	}
	t.Thickness = sheet.Thickness
	if t.Radius == 0 {
		t.Radius = sheet.UsualRadius()
	}
	if t.Angle == 0 {
		t.Angle = t.angle
	}
	tool, err := t.tool()
	return bend.Making{Sheet: sheet, Bend: bend.Bend{Angle: t.Angle, Radius: t.Radius, Thickness: t.Thickness}, Tool: tool}, err
}

// tool finds the bar, and reads the stop off the brake's scale.
func (t *strip) tool() (bend.Tool, error) {
	t.Stop = t.stop
	if t.brake == "" {
		return bend.Tool{Bar: t.bar}, nil
	}
	k, err := readBrake(t.brake)
	if err != nil {
		return bend.Tool{}, err
	}
	if t.stop != 0 {
		t.Stop = k.Scale.Bend(t.stop)
	}
	if t.bar == "" {
		return bend.Tool{}, nil
	}
	var bars []string
	for _, b := range k.Bars {
		if b.Name == t.bar {
			return process.ToolOf(b), nil
		}
		bars = append(bars, b.Name)
	}
	return bend.Tool{}, misused("trial: -bar: %s has no bar %q; its bars are %s", k.Name, t.bar, strings.Join(bars, ", "))
}

// print sets what the strip teaches beside what each rule gives.
func (t *strip) print(w io.Writer, made bend.Making, m bend.Measured) error {
	fmt.Fprintf(w, "%s %s mm, strip of %s mm bent once to %s, inside radius %s\n", made.Sheet.Material.Words, t.Thickness.Text(2),
		t.Blank.Text(2), bothAngles(t.Angle), t.Radius.Text(2))
	fmt.Fprintf(w, "deduction %s (legs %s + %s less the strip), K %.3f\n", m.Deduction.Text(2), t.Legs[0].Text(2), t.Legs[1].Text(2), m.K)
	if m.Angle > 0 {
		prior := bend.Practice{}.Expect(made)
		fmt.Fprintf(w, "springback %s; %s, %s to %s\n", m.Springback.Text(1), prior.From, prior.Low.Text(1), prior.High.Text(1))
	} else {
		fmt.Fprintf(w, "springback not known: give the -stop\n")
	}
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "\nrule\tK\tdeduction")
	made.Bend.K = m.K
	for i, c := range bend.Compare(made.Bend) {
		name := c.Rule.Name
		if i == 0 {
			name = "this strip"
		}
		fmt.Fprintf(table, "%s\t%.3f\t%s\n", name, c.K, c.Deduction.Text(2))
	}
	return table.Flush()
}

// flagged words a refusal of what the flags say.
func flagged(err error) error {
	var r *fault.Refusal
	if !errors.As(err, &r) {
		return err
	}
	return misused("trial: %s", r.Error())
}

// lengthFlag reads a length: 1.5, 1.5mm, 0.06in, 3/8in.
func lengthFlag(into *unit.MM) func(string) error {
	return func(v string) error {
		l, err := unit.ParseMM(v, unit.Metric)
		if err == nil && l <= 0 {
			err = errors.New("give a length above 0")
		}
		*into = l
		return err
	}
}

// legsFlag reads both legs of a strip.
func legsFlag(into *[2]unit.MM) func(string) error {
	return func(v string) error {
		first, second, both := strings.Cut(v, ",")
		if !both {
			return errors.New("give both legs with a comma between, such as 51.2,51.5")
		}
		if err := lengthFlag(&into[0])(first); err != nil {
			return err
		}
		return lengthFlag(&into[1])(second)
	}
}

// angleFlag reads an angle in degrees.
func angleFlag(into *unit.Deg) func(string) error {
	return func(v string) error {
		a, err := strconv.ParseFloat(v, 64)
		if err != nil || !(a > 0 && a < 180) {
			return errors.New("give degrees, more than 0 and less than 180")
		}
		*into = unit.Deg(a)
		return nil
	}
}
