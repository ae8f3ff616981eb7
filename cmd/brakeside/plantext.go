package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"brakeside/calc/bend"
	"brakeside/calc/flat"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/calc/wording"
	"brakeside/traveler"
	"brakeside/traveler/phrase"
)

// The text of a plan: its steps in short, what to shear, where its lines lie, and
// then one block a step with what the hands do in it, in the order in which they
// do it.

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
	part, in := p.Blank.Part, drawnIn(p.Blank.Part)
	fmt.Fprintf(w, "%s rev %s  %s\n", part.Number, part.Revision, part.Title)
	fmt.Fprintf(w, "%s %s, %s, on %s\n", p.Blank.Sheet.Material.Words, in.sheet(p.Blank), piecesWords(p.Quantity), p.Brake.Name)
	fmt.Fprintf(w, "lengths in %s; angles are what the metal is turned through, the opening in brackets\n", in.words())
	fmt.Fprintf(w, "sizes are %s\n\n", sizesWords(p.Blank))
	if p.Feasible {
		if err := printShort(w, p.Plan); err != nil {
			return err
		}
	}
	fmt.Fprintf(w, "blank %s x %s, %s m2, %.3f kg\n", in.size(p.Blank.Width), in.size(p.Blank.Height), areaWords(p.Blank.Area()),
		p.Blank.Mass())
	if p.Blank.SumSizes > 0 {
		fmt.Fprintf(w, "outside sizes add up to %s, the blank is %s shorter\n",
			in.size(p.Blank.SumSizes), in.apart(p.Blank.SumSizes, p.Blank.Height))
	}
	printWeight(w, p.Plan)
	for _, text := range p.Blank.Cautions {
		fmt.Fprintf(w, "drawing: %s\n", text)
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

func printBends(w io.Writer, p *process.Plan) error {
	in := drawnIn(p.Blank.Part)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "\nbend\tline at\tangle\tradius\tK\tallowance\tdeduction\toutside setback\tleast flange\tspringback")
	for i, b := range p.Bends {
		fmt.Fprintf(t, "%s\t%s\t%s %s\t%s\t%.3f\t%s\t%s\t%s\t%s\t%s (%s to %s)\n",
			bendName(b), lineWords(p.Blank.Joints[i], in), upWords(b.Angle), bothAngles(max(b.Angle, -b.Angle)),
			in.text(b.Finished.Radius), b.Finished.K, in.text(b.Finished.Allowance()), in.text(b.Deduction),
			in.setback(b.Finished), in.text(b.Bend.LeastFlange()),
			b.Springback.Text(1), b.Spread[0].Text(1), b.Spread[1].Text(1))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w,
		"line at: the middle of the bend, from the blank's left (x) or lower (y) edge, face A up\nK-factor: %s\nspringback: %s\n",
		distinct(p.Bends, func(b process.Bend) string { return b.Rule }),
		distinct(p.Bends, func(b process.Bend) string { return b.SpringbackFrom }))
	return err
}

// bendName is the word for a bend, with the name that files know it by.
func bendName(b process.Bend) string {
	if b.Word != b.ID {
		return b.Word + " (" + b.ID + ")"
	}
	return b.ID
}

// distinct joins what the bends say, each once.
func distinct(bends []process.Bend, says func(process.Bend) string) string {
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
func lineWords(j flat.Joint, in lengths) string {
	a, b := j.Line[0], j.Line[1]
	switch {
	case math.Abs(a.Y-b.Y) < flat.Snap:
		return "y " + in.size(unit.MM(a.Y))
	case math.Abs(a.X-b.X) < flat.Snap:
		return "x " + in.size(unit.MM(a.X))
	}
	return fmt.Sprintf("%s,%s to %s,%s", in.text(unit.MM(a.X)), in.text(unit.MM(a.Y)), in.text(unit.MM(b.X)), in.text(unit.MM(b.Y)))
}

func upWords(signed unit.Deg) string {
	if signed > 0 {
		return "up"
	}
	return "down"
}

// bothAngles prints a bend angle with its opening, since shops speak either way; the
// two make 180 as printed.
func bothAngles(a unit.Deg) string {
	return fmt.Sprintf("%s (%s)", a.Text(1), phrase.OpeningOf(a.CentiDeg()).Text(1))
}

// lifting tells how many steps lift their bar, if any.
func lifting(p *process.Plan) string {
	switch p.Lifting {
	case 0:
		return ""
	case 1:
		return ", 1 step over the magnet's hold"
	}
	return fmt.Sprintf(", %d steps over the magnet's hold", p.Lifting)
}

func printSteps(w io.Writer, p *process.Plan) error {
	proven := ""
	switch {
	case p.ProvenCheapest:
		proven = ", proven cheapest"
	case p.AtLeast > 0:
		proven = fmt.Sprintf(", the best found; none takes less than %.2f", math.Floor(p.AtLeast*100)/100)
	}
	fmt.Fprintf(w, "\norder: %.2f minutes a piece%s%s\n", p.Minutes, lifting(p), proven)
	if r := p.OtherRun; r.Run != "" {
		fmt.Fprintf(w, "run %s: %.2f minutes a piece; run %s it would be %.2f, bends %s\n",
			p.Run, p.Minutes, r.Run, r.Minutes, strings.Join(p.Blank.Words(r.Bends), ", "))
	}
	fmt.Fprintf(w, "which way up: %s\n", wording.MirrorCheck(p))
	for _, c := range slices.Concat(p.Office, p.Cautions) {
		fmt.Fprintf(w, "%s: %s\n", c.Level.Signal(), c.Text())
	}
	repeated := repeatedCautions(w, p.Steps)
	for _, s := range p.Steps {
		if err := printStep(w, p, s); err != nil {
			return err
		}
		for _, c := range s.Cautions {
			if !repeated[c.Text()] {
				fmt.Fprintf(w, "   %s: %s\n", c.Level.Signal(), c.Text())
			}
		}
	}
	for _, s := range p.Steps {
		if s.Hold.State != "" && s.Hold.State != bend.Holds {
			fmt.Fprintf(w, "\n%s.\n", bend.HoldModel)
			break
		}
	}
	_, err := fmt.Fprintln(w, "\nFollow the machine's manual, local codes and qualified people.")
	return err
}

// repeatedCautions prints once what several steps say, and gives those texts.
func repeatedCautions(w io.Writer, steps []process.Step) map[string]bool {
	said := map[string][]string{}
	var inOrder []process.Caution
	for _, s := range steps {
		for _, c := range s.Cautions {
			if said[c.Text()] == nil {
				inOrder = append(inOrder, c)
			}
			said[c.Text()] = append(said[c.Text()], fmt.Sprint(s.Number))
		}
	}
	repeated := map[string]bool{}
	for _, c := range inOrder {
		if numbers := said[c.Text()]; len(numbers) > 1 {
			repeated[c.Text()] = true
			fmt.Fprintf(w, "%s, steps %s: %s\n", c.Level.Signal(), strings.Join(numbers, ", "), c.Text())
		}
	}
	return repeated
}

func printStep(w io.Writer, p *process.Plan, s process.Step) error {
	fmt.Fprintf(w, "\nstep %d: bend %s to %s\n", s.Number, strings.Join(p.Blank.Words(s.Bends), " and "), bothAngles(s.Target))
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	row := func(name, format string, values ...any) {
		fmt.Fprintf(t, "   %s\t%s\n", name, fmt.Sprintf(format, values...))
	}
	if words := handlingWords(p.Blank, s); words != "" {
		row("handle", "%s", words)
	}
	row("clamp", "%s, face %s up, under %s, %s leaf, %s", p.Blank.Word(s.Clamped), s.FaceUp, barWords(s), s.Leaf, placeWords(s.Place))
	if s.BarPlace != "" {
		row("place", "%s", s.BarPlace)
	}
	in := drawnIn(p.Blank.Part)
	row("nose", "%s, %s from %s to %s", noseWords(s, in), in.size(s.Gauge), s.Bar.Gauged().Words, s.GaugeFrom.Words(p.Blank))
	if s.BackStop != 0 {
		row("back stop", "%s behind the hinge line, for %s", in.size(s.BackStop), s.GaugeFrom.Words(p.Blank))
	}
	row("stop", "%s on the brake's scale: bends to %s, springs back %s", s.Stop.Text(1), bothAngles(s.StopBend), springWords(s))
	if s.Flatten != nil {
		row("flatten", "%s", flattenWords(p.Blank, s.Flatten))
	}
	for _, c := range s.Checks {
		row("check", "%s, %s", in.size(c.Size), c.Words(p.Blank))
	}
	row("expect", "%s", likelyWords(p, s.Number, in))
	if s.Between != [2]string{} {
		row("room", "%s between %s and %s", in.room(s.Clearance), p.Blank.Word(s.Between[0]), s.Between[1])
	}
	if s.SlideOut != "" {
		row("after", "slide the bar out to the %s", s.SlideOut)
	}
	for _, c := range s.Closes {
		row("then", "%s", c)
	}
	return t.Flush()
}

// springWords prints the springback, which with the target makes the angle the leaf
// bends to as they are printed.
func springWords(s process.Step) string {
	return (s.StopBend.CentiDeg().Tenths() - s.Target.CentiDeg().Tenths()).Text(1)
}

// flattenWords tells how a hem is pressed flat, in the words of the traveler.
func flattenWords(b *flat.Blank, f *process.Flatten) string {
	frozen, in := *traveler.FreezeFlatten(b, f), b.Part.Units()
	return phrase.Flatten(in, frozen) + ". " + strings.Join(phrase.FlattenSteps(in, frozen), " ")
}

// noseWords tells where the bar stands. That of a round one is told by its axis,
// which can be measured at its ends.
func noseWords(s process.Step, in lengths) string {
	words := "setback " + in.text(s.NoseSetback)
	if s.Bar.Gauged().Behind > 0 {
		words = "axis " + in.text(s.LineSetback()) + " behind the hinge, " + words
	}
	return words
}

// barWords names a bar, and its fingers from left to right.
func barWords(s process.Step) string {
	if s.Segments == nil {
		return "the " + s.Bar.Name + " bar"
	}
	var widths []string
	for _, g := range s.Segments {
		widths = append(widths, strings.TrimSuffix(g.Width.Text(1), ".0"))
	}
	return s.Bar.Name + " " + strings.Join(widths, "+")
}

func placeWords(p process.Place) string {
	switch p {
	case process.PastLeft:
		return "hanging past the left end"
	case process.PastRight:
		return "hanging past the right end"
	}
	return "in the middle"
}

func handlingWords(b *flat.Blank, s process.Step) string {
	var words []string
	words = append(words, phrase.Turns(traveler.FreezeHandling(b, s))...)
	if s.PackingStrip {
		words = append(words, "lay a packing strip of the same gauge under the back of the bar")
	}
	return strings.Join(words, ", then ")
}

// printBlocked tells what stands in the way, and what would free it.
func printBlocked(w io.Writer, p worked) error {
	if p.Undecided {
		fmt.Fprintf(w, "\nThis part: %s; it has too many bends to try all orders.\n", p.Not())
	} else {
		fmt.Fprintf(w, "\nThis part %s.\nThe reason: %s.\n", p.Not(), p.WhyNot())
	}
	for _, b := range p.Blocked {
		fmt.Fprintf(w, "\n%s\n", conflictWords(p.Blank.Words(b.Bends)))
		printReasons(w, b.Why)
		for _, c := range b.Cures {
			fmt.Fprintf(w, "   %s (%s): %s\n", freesWords[c.Frees], c.Kind, c.Change)
		}
	}
	tried := "every order was tried"
	if p.Undecided {
		tried = "the likeliest orders were tried"
	}
	_, err := fmt.Fprintf(w, "\n%s: %d states, %d questions to the brake\n", tried, p.Searched.States, p.Searched.Checks)
	return err
}

// freesWords says what can be bent with a change.
var freesWords = map[process.Freed]string{process.FreesPart: "would free the part", process.FreesBends: "would free these bends"}

// printReasons gathers the reasons against one bend under a line of its own.
func printReasons(w io.Writer, reasons []string) {
	said := ""
	for _, why := range reasons {
		bend, reason, found := strings.Cut(why, ", clamping ")
		if !found {
			fmt.Fprintf(w, "   %s\n", why)
			continue
		}
		if bend != said {
			fmt.Fprintf(w, "   %s\n", bend)
			said = bend
		}
		fmt.Fprintf(w, "      clamping %s\n", reason)
	}
}

func conflictWords(bends []string) string {
	if len(bends) == 1 {
		return "bend " + bends[0] + " cannot be made:"
	}
	return "bends " + strings.Join(bends, ", ") + " stand in each other's way:"
}

// printComparison sets several brakes side by side, each in one line.
func printComparison(w io.Writer, plans []worked) error {
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "brake\tcan bend it\tblank\tinside radius\tsteps\tminutes a piece\tcautions, or why not")
	for _, p := range plans {
		in, short := drawnIn(p.Blank.Part), wording.InShort(p.Plan)
		can, steps, minutes, last := "no", "-", "-", short.No
		if p.Feasible {
			can, steps, minutes, last = "yes", fmt.Sprint(len(p.Steps)), fmt.Sprintf("%.2f", p.Minutes), cautionWords(short.Cautions)
		}
		fmt.Fprintf(t, "%s\t%s\t%s x %s\t%s\t%s\t%s\t%s\n",
			p.Brake.Name, can, in.size(p.Blank.Width), in.size(p.Blank.Height), short.Radius, steps, minutes, last)
	}
	return t.Flush()
}

// cautionWords counts cautions and says the first.
func cautionWords(said []string) string {
	switch len(said) {
	case 0:
		return "none"
	case 1:
		return "1: " + said[0]
	}
	return fmt.Sprintf("%d: %s ...", len(said), said[0])
}
