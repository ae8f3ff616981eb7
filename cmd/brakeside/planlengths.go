package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"brakeside/calc/bend"
	"brakeside/calc/figures"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// lengths prints lengths in the unit a part was drawn in: millimetres, or
// inches with the nearest 64th beside the decimals. Nothing is worked out from
// what it prints.
type lengths struct{ inch bool }

func drawnIn(p part.Part) lengths { return lengths{p.Inch} }

func (l lengths) words() string {
	if l.inch {
		return "inches, the nearest 1/64 in brackets"
	}
	return "mm"
}

// text prints a length that nobody measures with a rule.
func (l lengths) text(v unit.MM) string {
	if l.inch {
		return inches(v)
	}
	return v.Text(2)
}

// size prints a length that is measured, marked or cut.
func (l lengths) size(v unit.MM) string {
	if l.inch {
		return fmt.Sprintf("%s (%s)", inches(v), unit.Fraction64(v))
	}
	return v.Text(2)
}

// apart prints by how much one printed length is more than another.
func (l lengths) apart(more, less unit.MM) string {
	finest := 0.01
	if l.inch {
		finest = 0.001 * float64(unit.PerInch)
	}
	shown := func(v unit.MM) float64 { return math.Round(float64(v) / finest) }
	return l.size(unit.MM(finest * (shown(more) - shown(less))))
}

// setback prints the outside setback of a bend; one folded right over has none.
func (l lengths) setback(b bend.Bend) string {
	if b.Angle >= 180 {
		return "-"
	}
	return l.text(b.OutsideSetback())
}

// room prints a clearance.
func (l lengths) room(v unit.MM) string {
	if l.inch {
		return inches(v)
	}
	return v.Text(1)
}

func inches(v unit.MM) string { return unit.MM(v.Inches()).Text(3) }

// sheet prints the thickness in both units for an inch part, and the gauge with
// the series it was read in.
func (l lengths) sheet(b *flat.Blank) string {
	text := b.Sheet.Thickness.Text(2) + " mm"
	if l.inch {
		text = fmt.Sprintf("%s in (%s mm)", unit.MM(b.Sheet.Thickness.Inches()).Text(4), b.Sheet.Thickness.Text(3))
	}
	if b.Part.Gauge != "" {
		text += fmt.Sprintf(", %s gauge of %s", strings.TrimSpace(b.Part.Gauge), b.Sheet.Material.Series)
	}
	return text
}

// sizesWords tell how the sizes of the part file are meant.
func sizesWords(b *flat.Blank) string {
	if b.Part.Form() == part.FlatForm {
		return "those of the blank"
	}
	text := string(b.Part.Sizes)
	for _, j := range b.Joints {
		if j.Bend.Angle > 90 && j.Hem == part.NoHem {
			return text + map[part.Over90]string{
				part.Apex: ", to the apex at bends of more than 90", part.Tangent: ", to the outside tangent at bends of more than 90",
			}[b.Part.Over90]
		}
	}
	return text
}

// printWeight tells where blank and part balance and who may lift them.
func printWeight(w io.Writer, p *process.Plan) {
	in, c := drawnIn(p.Blank.Part), p.Weight
	fmt.Fprintf(w, "balances at %s, %s from the lower left corner of the blank", in.text(unit.MM(c.Blank.X)), in.text(unit.MM(c.Blank.Y)))
	if c.Lying != "" {
		fmt.Fprintf(w, "; bent, with %s lying flat, at %s, %s and %s up", p.Blank.Word(c.Lying),
			in.text(unit.MM(c.Part.X)), in.text(unit.MM(c.Part.Y)),
			in.text(unit.MM(c.Part.Z)))
	}
	fmt.Fprintf(w, "\nto lift: %s\n", c.Lift.Words)
}

// printRules sets side by side what each rule for the K-factor would give.
func printRules(w io.Writer, p *process.Plan, compared []figures.ByRule) error {
	if compared == nil {
		return nil
	}
	in := drawnIn(p.Blank.Part)
	shown := process.Sorts(p.Bends)
	fmt.Fprintln(w, "\nwhat each rule would give: the blank, and K and deduction of each bend that differs")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprint(t, "rule\tblank")
	for _, i := range shown {
		fmt.Fprintf(t, "\t%s", p.Bends[i].Word)
	}
	row := func(name string, width, height unit.MM, bends []process.Bend) {
		fmt.Fprintf(t, "\n%s\t%s x %s", name, in.text(width), in.text(height))
		for _, i := range shown {
			fmt.Fprintf(t, "\t%.3f, %s", bends[i].Bend.K, in.text(bends[i].Deduction))
		}
	}
	row("as planned", p.Blank.Width, p.Blank.Height, p.Bends)
	for _, c := range compared {
		row(c.Rule.ID, c.Width, c.Height, c.Bends)
	}
	fmt.Fprintln(t)
	if err := t.Flush(); err != nil {
		return err
	}
	for _, c := range compared {
		fmt.Fprintf(w, "%s: %s. %s\n", c.Rule.ID, c.Rule.Name, c.Rule.Source)
	}
	return nil
}
