package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"brakeside/calc"
	"brakeside/calc/flat"
	"brakeside/calc/unit"
)

// The text of a plan: what to shear, where its lines lie, and then one block a
// step with what the hands do in it, in the order in which they do it.

func printPlans(w io.Writer, plans []worked) error {
	for i, p := range plans {
		if i > 0 {
			fmt.Fprintln(w)
		}
		if err := printPlan(w, p); err != nil {
			return err
		}
	}
	if len(plans) > 1 {
		return printComparison(w, plans)
	}
	return nil
}

func printPlan(w io.Writer, p worked) error {
	part, sheet := p.Blank.Part, p.Blank.Sheet
	fmt.Fprintf(w, "%s rev %s  %s\n", part.Number, part.Revision, part.Title)
	fmt.Fprintf(w, "%s %s mm, %s, on %s\n", sheet.Material.Words, sheet.Thickness.Text(2), piecesWords(p.Quantity), p.Brake.Name)
	fmt.Fprintf(w, "lengths in mm; angles are what the metal is turned through, the opening in brackets\n\n")
	fmt.Fprintf(w, "blank %s x %s, %s m2, %.3f kg\n", p.Blank.Width.Text(2), p.Blank.Height.Text(2), areaWords(p.Blank.Area()), p.Blank.Mass())
	if p.Blank.SumSizes > 0 {
		fmt.Fprintf(w, "outside sizes add up to %s, the blank is %s shorter\n", p.Blank.SumSizes.Text(2), (p.Blank.SumSizes - p.Blank.Height).Text(2))
	}
	if err := printBends(w, p.Plan); err != nil {
		return err
	}
	if !p.Feasible {
		return printBlocked(w, p)
	}
	return printSteps(w, p.Plan)
}

func piecesWords(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return fmt.Sprintf("%d pieces", n)
}

func areaWords(squareMillimetres float64) string { return fmt.Sprintf("%.4f", squareMillimetres/1e6) }

func printBends(w io.Writer, p *calc.Plan) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "\nbend\tline at\tangle\tradius\tK\tallowance\tdeduction\toutside setback\tspringback")
	for i, b := range p.Bends {
		fmt.Fprintf(t, "%s\t%s\t%s %s\t%s\t%.3f\t%s\t%s\t%s\t%s\n", b.ID, lineWords(p.Blank.Joints[i]), upWords(b.Angle), bothAngles(b.Bend.Angle),
			b.Bend.Radius.Text(2), b.Bend.K, b.Bend.Allowance().Text(2), p.Blank.Deduction(p.Blank.Joints[i]).Text(2), b.Bend.OutsideSetback().Text(2), b.Springback.Text(1))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "line at: the middle of the bend, from the blank's left (x) or lower (y) edge, face A up\nK-factor: %s\nspringback: %s\n",
		distinct(p.Bends, func(b calc.Bend) string { return b.Rule }), distinct(p.Bends, func(b calc.Bend) string { return b.SpringbackFrom }))
	return err
}

// distinct joins what the bends say, each once.
func distinct(bends []calc.Bend, says func(calc.Bend) string) string {
	seen := map[string]bool{}
	var texts []string
	for _, b := range bends {
		if text := says(b); !seen[text] {
			seen[text] = true
			texts = append(texts, text)
		}
	}
	return strings.Join(texts, "; ")
}

// lineWords tells where a bend line lies; a slanting one by its two ends.
func lineWords(j flat.Joint) string {
	a, b := j.Line[0], j.Line[1]
	switch {
	case math.Abs(a.Y-b.Y) < flat.Snap:
		return "y " + unit.MM(a.Y).Text(2)
	case math.Abs(a.X-b.X) < flat.Snap:
		return "x " + unit.MM(a.X).Text(2)
	}
	return fmt.Sprintf("%s,%s to %s,%s", unit.MM(a.X).Text(2), unit.MM(a.Y).Text(2), unit.MM(b.X).Text(2), unit.MM(b.Y).Text(2))
}

func upWords(signed unit.Deg) string {
	if signed > 0 {
		return "up"
	}
	return "down"
}

// bothAngles prints a bend angle and its opening: shops speak either way.
func bothAngles(a unit.Deg) string { return fmt.Sprintf("%s (%s)", a.Text(1), unit.Opening(a).Text(1)) }

func printSteps(w io.Writer, p *calc.Plan) error {
	proven := ""
	if p.ProvenCheapest {
		proven = ", proven cheapest"
	}
	fmt.Fprintf(w, "\norder: %.2f minutes a piece%s\n", p.Minutes, proven)
	if r := p.OtherRun; r.Run != "" {
		fmt.Fprintf(w, "run %s: %.2f minutes a piece; run %s it would be %.2f, bends %s\n", p.Run, p.Minutes, r.Run, r.Minutes, strings.Join(r.Bends, " "))
	}
	for _, c := range p.Cautions {
		fmt.Fprintf(w, "%s: %s\n", c.Level, c.Text)
	}
	repeated := repeatedCautions(w, p.Steps)
	for _, s := range p.Steps {
		if err := printStep(w, p, s); err != nil {
			return err
		}
		for _, c := range s.Cautions {
			if !repeated[c.Text] {
				fmt.Fprintf(w, "   %s: %s\n", c.Level, c.Text)
			}
		}
	}
	_, err := fmt.Fprintln(w, "\nFollow the machine's manual, local codes and qualified people.")
	return err
}

// repeatedCautions prints once what several steps say, and gives those texts.
func repeatedCautions(w io.Writer, steps []calc.Step) map[string]bool {
	said := map[string][]string{}
	var inOrder []calc.Caution
	for _, s := range steps {
		for _, c := range s.Cautions {
			if said[c.Text] == nil {
				inOrder = append(inOrder, c)
			}
			said[c.Text] = append(said[c.Text], fmt.Sprint(s.Number))
		}
	}
	repeated := map[string]bool{}
	for _, c := range inOrder {
		if numbers := said[c.Text]; len(numbers) > 1 {
			repeated[c.Text] = true
			fmt.Fprintf(w, "%s, steps %s: %s\n", c.Level, strings.Join(numbers, ", "), c.Text)
		}
	}
	return repeated
}

func printStep(w io.Writer, p *calc.Plan, s calc.Step) error {
	fmt.Fprintf(w, "\nstep %d: bend %s to %s\n", s.Number, strings.Join(s.Bends, " and "), bothAngles(s.Target))
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	row := func(name, format string, values ...any) {
		fmt.Fprintf(t, "   %s\t%s\n", name, fmt.Sprintf(format, values...))
	}
	if words := handlingWords(s); words != "" {
		row("handle", "%s", words)
	}
	row("clamp", "%s, face %s up, under %s, %s leaf, %s", s.Clamped, s.FaceUp, barWords(s), s.Leaf, placeWords(s.Place))
	row("nose", "setback %s, %s from the nose to %s", s.NoseSetback.Text(2), s.Gauge.Text(2), s.GaugeEdge)
	row("stop", "%s on the brake's scale: bends to %s, springs back %s", s.Stop.Text(1), bothAngles(s.StopBend), s.Springback.Text(1))
	row("check", "%s, %s", s.Check.Text(2), s.CheckSize)
	if s.Between != [2]string{} {
		row("room", "%s between %s and %s", s.Clearance.Text(1), s.Between[0], s.Between[1])
	}
	if s.SlideOut != "" {
		row("after", "slide the bar out to the %s", s.SlideOut)
	}
	for _, c := range s.Closes {
		row("then", "%s", c)
	}
	return t.Flush()
}

// barWords names a bar, and its fingers from left to right.
func barWords(s calc.Step) string {
	if s.Segments == nil {
		return "the " + s.Bar.Name + " bar"
	}
	var widths []string
	for _, g := range s.Segments {
		widths = append(widths, strings.TrimSuffix(g.Width.Text(1), ".0"))
	}
	return s.Bar.Name + " " + strings.Join(widths, "+")
}

func placeWords(p calc.Place) string {
	switch p {
	case calc.PastLeft:
		return "hanging past the left end"
	case calc.PastRight:
		return "hanging past the right end"
	}
	return "in the middle"
}

func handlingWords(s calc.Step) string {
	var words []string
	if s.TurnOver {
		words = append(words, "turn over about the bend line")
	}
	if s.Rotate != 0 {
		words = append(words, fmt.Sprintf("rotate %d anticlockwise, seen from above", s.Rotate))
	}
	return strings.Join(words, ", then ")
}

// printBlocked tells what stands in the way, and what would free it.
func printBlocked(w io.Writer, p worked) error {
	if p.Undecided {
		fmt.Fprintf(w, "\nNo order was found on %s. That there is none is not proven: the part has too many bends to try them all.\n", p.Brake.Name)
	} else {
		fmt.Fprintf(w, "\nThis part cannot be bent on %s.\n", p.Brake.Name)
	}
	for _, b := range p.Blocked {
		fmt.Fprintf(w, "\n%s\n", conflictWords(b.Bends))
		for _, why := range b.Why {
			fmt.Fprintf(w, "   %s\n", why)
		}
		for _, c := range b.Cures {
			fmt.Fprintf(w, "   would free it (%s): %s\n", c.Kind, c.Change)
		}
	}
	tried := "every order was tried"
	if p.Undecided {
		tried = "the likeliest orders were tried"
	}
	_, err := fmt.Fprintf(w, "\n%s: %d states, %d questions to the brake\n", tried, p.Searched.States, p.Searched.Checks)
	return err
}

func conflictWords(bends []string) string {
	if len(bends) == 1 {
		return "bend " + bends[0] + " cannot be made:"
	}
	return "bends " + strings.Join(bends, ", ") + " stand in each other's way:"
}

// printComparison sets several brakes side by side.
func printComparison(w io.Writer, plans []worked) error {
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "brake\tcan bend it\tsteps\tminutes a piece")
	for _, p := range plans {
		if !p.Feasible {
			fmt.Fprintf(t, "%s\tno\t-\t-\n", p.Brake.Name)
			continue
		}
		fmt.Fprintf(t, "%s\tyes\t%d\t%.2f\n", p.Brake.Name, len(p.Steps), p.Minutes)
	}
	return t.Flush()
}
