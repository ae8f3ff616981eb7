package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"brakeside/calc"
	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/process"
)

// names gathers a flag that may be given several times.
type names []string

func (n *names) String() string { return strings.Join(*n, ",") }

func (n *names) Set(v string) error {
	name := ""
	err := filled(&name)(v)
	*n = append(*n, name)
	return err
}

// mostPieces is the largest quantity of a job.
const mostPieces = 1_000_000

// pieces is the flag of a quantity.
func pieces(flags *flag.FlagSet) *int {
	quantity := 1
	flags.Func("qty", "pieces", func(v string) error {
		n, err := strconv.Atoi(v)
		if err != nil || n < 1 || n > mostPieces {
			return fmt.Errorf("give a whole number of pieces, 1 to %d", mostPieces)
		}
		quantity = n
		return nil
	})
	return &quantity
}

// planPart prints how a part is made, on one brake or compared on several.
func planPart(ctx context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("plan", flag.ContinueOnError)
	var files names
	var without []string
	flags.Var(&files, "brake", "brake file")
	flags.Func("without", "bar that is not to be used; may be given several times", several(&without, 200))
	quantity := pieces(flags)
	var by shopFlags
	by.on(flags)
	rules := flags.Bool("rules", false, "compare what each rule for the K-factor would give")
	asJSON := flags.Bool("json", false, "print JSON")
	first, picture, run := "", "", process.ByStep
	flags.Func("first", "bend to begin with", named(&first, 40))
	next := flags.Int("next", 0, "better orders to pass over")
	flags.Func("run", "by-step or by-piece (by-step if not given)", oneOf(&run, process.ByStep, process.ByPiece))
	flags.Func("picture", "SVG file for the end views of what stands in the way", filled(&picture))
	others, err := arguments(flags, args, "PART.json")
	switch {
	case err != nil:
		return err
	case *next < 0 || *next > mostOrders:
		return misused("plan: -next %d; give how many better orders to pass over, 0 to %d", *next, mostOrders)
	case files == nil:
		files = names{""}
	}
	shop, err := by.shop()
	if err != nil {
		return err
	}
	plans, err := plansOn(others[0], files, calc.Options{
		Quantity: *quantity, Shop: shop, Run: run, First: first, Next: *next, Without: without, Watch: watcher(ctx, s.err),
	})
	if err != nil {
		return err
	}
	if picture != "" {
		if err := writePictures(picture, plans); err != nil {
			return err
		}
	}
	var compared []figures.ByRule
	if *rules {
		if compared, err = shop.CompareRules(plans[0].Blank.Part); err != nil {
			return &inFile{others[0], err}
		}
	}
	var out bytes.Buffer
	if *asJSON {
		err = printJSON(&out, plans, compared)
	} else {
		err = errors.Join(printPlans(&out, plans), printRules(&out, plans[0].Plan, compared))
	}
	if err != nil {
		return err
	}
	if _, err := s.out.Write(out.Bytes()); err != nil {
		return &inFile{"standard output", plainly(err)}
	}
	return noneFeasible(plans)
}

// mostOrders is how many better orders can be passed over.
const mostOrders = 1000

// worked is a plan and how long it took to find.
type worked struct {
	*process.Plan
	took time.Duration
}

// plansOn plans a part on each of some brakes; an empty name is the demo brake.
func plansOn(partFile string, brakes []string, o calc.Options) ([]worked, error) {
	p, err := readPart(partFile)
	if err != nil {
		return nil, err
	}
	var plans []worked
	for _, name := range brakes {
		k, err := readBrake(name)
		if err != nil {
			return nil, err
		}
		began := time.Now()
		plan, err := calc.Work(p, k, o)
		if err != nil {
			return nil, &inFile{partFile, err}
		}
		plans = append(plans, worked{plan, time.Since(began)})
	}
	return plans, nil
}

// noneFeasible ends with the exit code for a part that no brake asked can make.
func noneFeasible(plans []worked) error {
	for _, p := range plans {
		if p.Feasible {
			return nil
		}
	}
	return &alreadyTold{fault.New(fault.Unbendable, "", "the part cannot be bent on this brake")}
}

// printJSON prints one object for one brake and an array for several.
func printJSON(w io.Writer, plans []worked, compared []figures.ByRule) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	var all []jsonPlan
	for _, p := range plans {
		plan := planJSON(p)
		plan.Rules = rulesJSON(compared)
		if len(plans) > 1 {
			plan.InShort = shortJSON(p.Plan)
		}
		all = append(all, plan)
	}
	if len(all) == 1 {
		return e.Encode(all[0])
	}
	return e.Encode(all)
}
