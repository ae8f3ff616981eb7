package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// names gathers a flag that may be given several times.
type names []string

func (n *names) String() string { return strings.Join(*n, ",") }

func (n *names) Set(v string) error {
	*n = append(*n, v)
	return nil
}

// planPart prints how a part is made, on one brake or compared on several.
func planPart(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("plan", flag.ContinueOnError)
	var files names
	flags.Var(&files, "brake", "brake file")
	quantity := flags.Int("qty", 1, "pieces")
	asJSON := flags.Bool("json", false, "print JSON")
	others, err := arguments(flags, args, "PART.json")
	if err != nil {
		return err
	}
	if err := sensibleQuantity(*quantity); err != nil {
		return err
	}
	plans, err := plansOn(others[0], files, *quantity)
	if err != nil {
		return err
	}
	if *asJSON {
		err = printJSON(s.out, plans)
	} else {
		err = printPlans(s.out, plans)
	}
	if err != nil {
		return err
	}
	return noneFeasible(plans)
}

// mostPieces is the largest quantity of a job.
const mostPieces = 1_000_000

func sensibleQuantity(n int) error {
	if n < 1 || n > mostPieces {
		return misused("-qty %d is no number of pieces; give 1 to %d", n, mostPieces)
	}
	return nil
}

func plansOn(partFile string, brakes []string, quantity int) ([]*calc.Plan, error) {
	p, err := readPart(partFile)
	if err != nil {
		return nil, err
	}
	if len(brakes) == 0 {
		brakes = []string{""}
	}
	var plans []*calc.Plan
	for _, name := range brakes {
		k, err := readBrake(name)
		if err != nil {
			return nil, err
		}
		plan, err := calc.Work(p, k, calc.Options{Quantity: quantity})
		if err != nil {
			return nil, &inFile{partFile, err}
		}
		plans = append(plans, plan)
	}
	return plans, nil
}

// noneFeasible ends with the exit code for a part that no brake asked can make.
func noneFeasible(plans []*calc.Plan) error {
	for _, p := range plans {
		if p.Feasible {
			return nil
		}
	}
	return &alreadyTold{fault.New(fault.Unbendable, "", "the part cannot be bent on this brake")}
}

// printJSON prints one object for one brake and an array for several.
func printJSON(w io.Writer, plans []*calc.Plan) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if len(plans) == 1 {
		return e.Encode(planJSON(plans[0]))
	}
	var all []jsonPlan
	for _, p := range plans {
		all = append(all, planJSON(p))
	}
	return e.Encode(all)
}

func printPlans(w io.Writer, plans []*calc.Plan) error {
	for i, p := range plans {
		if i > 0 {
			fmt.Fprintln(w)
		}
		if err := printPlan(w, p); err != nil {
			return err
		}
	}
	return nil
}

// printPlan prints a plan as text.
func printPlan(w io.Writer, p *calc.Plan) error {
	part, sheet := p.Blank.Part, p.Blank.Sheet
	fmt.Fprintf(w, "%s rev %s  %s\n", part.Number, part.Revision, part.Title)
	fmt.Fprintf(w, "%s %s mm on %s\n\n", sheet.Material.Words, sheet.Thickness.Text(2), p.Brake.Name)
	fmt.Fprintf(w, "blank %s x %s mm, %.0f mm2, %.3f kg\n", p.Blank.Width.Text(2), p.Blank.Height.Text(2), p.Blank.Area(), p.Blank.Mass())
	if p.Blank.SumSizes > 0 {
		fmt.Fprintf(w, "outside sizes add up to %s mm\n", p.Blank.SumSizes.Text(2))
	}
	if err := printBends(w, p); err != nil {
		return err
	}
	if !p.Feasible {
		printBlocked(w, p)
		return nil
	}
	return printSteps(w, p)
}

func printBends(w io.Writer, p *calc.Plan) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "\nbend\tangle\topening\tradius\tK\tallowance\tdeduction\toutside setback\tspringback\t")
	rules := map[string]bool{}
	var order []string
	for _, b := range p.Bends {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%.3f\t%s\t%s\t%s\t%s\t\n", b.ID, b.Angle.Text(1), unit.Opening(b.Bend.Angle).Text(1), b.Bend.Radius.Text(2), b.Bend.K,
			b.Bend.Allowance().Text(2), b.Bend.Deduction().Text(2), b.Bend.OutsideSetback().Text(2), b.Springback.Text(1))
		if !rules[b.Rule] {
			rules[b.Rule] = true
			order = append(order, b.Rule)
		}
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "K-factor: %s\n", strings.Join(order, "; "))
	return err
}

func printSteps(w io.Writer, p *calc.Plan) error {
	proven := ""
	if p.ProvenCheapest {
		proven = ", proven cheapest"
	}
	fmt.Fprintf(w, "\norder, %.2f minutes a piece for %d%s\n", p.Minutes, p.Quantity, proven)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "step\tbend\tclamp\tbar\tleaf\tplace\tnose setback\tstop\ttarget\thandling\t")
	for _, s := range p.Steps {
		fmt.Fprintf(t, "%d\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", s.Number, strings.Join(s.Bends, "+"), s.Clamped, barWords(s), s.Leaf, s.Place,
			s.NoseSetback.Text(2), stopWords(p.Brake.Scale, s.Stop), s.Target.Text(1), handlingWords(s))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, c := range p.Cautions {
		fmt.Fprintf(w, "%s: %s\n", c.Level, c.Text)
	}
	for _, s := range p.Steps {
		for _, c := range s.Cautions {
			fmt.Fprintf(w, "step %d %s: %s\n", s.Number, c.Level, c.Text)
		}
	}
	_, err := fmt.Fprintln(w, "\nFollow the machine's manual, local codes and qualified people.")
	return err
}

// barWords names a bar, and its fingers from left to right.
func barWords(s calc.Step) string {
	var widths []string
	for _, g := range s.Segments {
		widths = append(widths, strings.TrimSuffix(g.Width.Text(1), ".0"))
	}
	if widths == nil {
		return s.Bar.Name
	}
	return s.Bar.Name + " " + strings.Join(widths, "+")
}

func stopWords(scale brake.Scale, stop unit.Deg) string {
	if scale.Opening {
		return stop.Text(1) + " opening"
	}
	return stop.Text(1)
}

func handlingWords(s calc.Step) string {
	var words []string
	if s.TurnOver {
		words = append(words, "turn over")
	}
	if s.Rotate != 0 {
		words = append(words, fmt.Sprintf("rotate %d", s.Rotate))
	}
	if s.SlideOut != "" {
		words = append(words, "slide bar out "+s.SlideOut)
	}
	if s.PackingStrip {
		words = append(words, "packing strip")
	}
	if words == nil {
		return "-"
	}
	return strings.Join(words, ", ")
}

func printBlocked(w io.Writer, p *calc.Plan) {
	fmt.Fprintf(w, "\nThis part cannot be bent on %s.\n", p.Brake.Name)
	for _, b := range p.Blocked {
		fmt.Fprintf(w, "\nbends in conflict: %s\n", strings.Join(b.Bends, ", "))
		for _, why := range b.Why {
			fmt.Fprintf(w, "  %s\n", why)
		}
		for _, c := range b.Cures {
			fmt.Fprintf(w, "  would free it (%s): %s\n", c.Kind, c.Change)
		}
	}
}
