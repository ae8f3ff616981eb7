package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/process"
	"brakeside/traveler"
	"brakeside/traveler/phrase"
)

// The short form of a plan, before all its reasons: one line a step.

func printShort(w io.Writer, p *process.Plan) error {
	in := drawnIn(p.Blank.Part)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "step\tbend\tturn\tbar\tplace\tstop\tcheck")
	for _, s := range p.Steps {
		fmt.Fprintf(t, "%d\t%s\t%s\t%s\t%s\t%s\t%s\n",
			s.Number, shortBend(p, s), shortTurn(p.Blank, s), shortBar(s), shortPlace(s.Place), s.Stop.Text(1), shortChecks(p, s, in))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintln(w)
	return err
}

func shortBend(p *process.Plan, s process.Step) string {
	words := strings.Join(p.Blank.Words(s.Bends), " and ") + " to " + s.Target.Text(1)
	if s.Flatten != nil {
		words += ", flatten"
	}
	return words
}

func shortTurn(b *flat.Blank, s process.Step) string {
	if turns := phrase.Turns(traveler.FreezeHandling(b, s)); len(turns) > 0 {
		return strings.Join(turns, ", then ")
	}
	return "-"
}

func shortBar(s process.Step) string {
	words := strings.TrimSuffix(strings.TrimPrefix(barWords(s), "the "), " bar")
	if s.Leaf == brake.Slim {
		words += ", " + phrase.Leaf(traveler.SlimLeaf)
	}
	return words
}

// shortPlace names the end of the brake that the part hangs past.
func shortPlace(p process.Place) string { return strings.ReplaceAll(string(p), "-", " ") }

// shortCheck names what a size is of: a leg needs no word beside its name.
func shortCheck(b *flat.Blank, c process.Check) string {
	if c.Kind == process.OverallCheck {
		return b.Word(c.Face) + " overall"
	}
	return b.Word(c.Face)
}

// shortChecks lists the drawn sizes that can be measured from the step on.
func shortChecks(p *process.Plan, s process.Step, in lengths) string {
	if len(s.Checks) == 0 {
		return "-"
	}
	var words []string
	for _, c := range s.Checks {
		words = append(words, fmt.Sprintf("%s %s", in.size(c.Size), shortCheck(p.Blank, c)))
	}
	return strings.Join(words, ", ")
}
