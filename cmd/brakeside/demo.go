package main

import (
	"context"
	"embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"text/tabwriter"
	"time"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/server/store"
)

// The shop of the demo is invented: it folds drip trays for instruments and
// brackets for rails.
const demoShop = "Hollow Lane Sheet Works"

//go:embed shop/*.json
var demoFiles embed.FS

// demoJob is one job of the invented shop.
type demoJob struct {
	number, file string
	quantity     int
}

var demoJobs = []demoJob{
	{"1041", "shop/drip-tray.json", 6},
	{"1042", "shop/rail-bracket.json", 12},
	{"1043", "shop/cable-cover.json", 4},
}

// demo runs the whole service on an invented shop in a fresh folder.
func demo(ctx context.Context, args []string, s streams) error {
	ctx, stop := untilTold(ctx)
	defer stop()
	flags := flag.NewFlagSet("demo", flag.ContinueOnError)
	at := site{logFrom: slog.LevelWarn}
	flags.Func("addr", "address to listen on", named(&at.addr, mostAddress))
	flags.Func("data", "data folder, fresh", filled(&at.data))
	once := flags.Bool("once", false, "do the job once and end")
	empty := flags.Bool("empty", false, "a shop in which nothing is set up yet")
	if _, err := arguments(flags, args); err != nil {
		return err
	}
	if *once && *empty {
		return misused("demo: with -empty there is no job to do once; give one of the two")
	}
	if at.addr == "" {
		at.addr = defaultAddr
		if *once {
			at.addr = ":0"
		}
	}
	named := at.data != ""
	var err error
	if at.data, err = freshFolder(at.data); err != nil {
		return err
	}
	err = runDemo(ctx, at, s, demoWay{once: *once, empty: *empty})
	if err != nil && !named {
		os.Remove(at.data) // goes only when nothing was put into it
	}
	return err
}

// freshFolder makes a folder for the demo; one that is named must be new or
// empty.
func freshFolder(name string) (string, error) {
	if name == "" {
		dir, err := os.MkdirTemp("", "brakeside-demo-")
		if err != nil {
			return "", &inFile{os.TempDir(), plainly(err)}
		}
		return dir, nil
	}
	entries, err := os.ReadDir(name)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return name, nil
	case err != nil:
		return "", &inFile{name, plainly(err)}
	case len(entries) > 0:
		return "", &inFile{name, fault.New(fault.Conflict, "-data", "the folder is not empty; the demo wants a fresh one")}
	}
	return name, nil
}

// demoWay is how the demo is run.
type demoWay struct{ once, empty bool }

func runDemo(ctx context.Context, at site, s streams, way demoWay) error {
	clock := &movedClock{}
	at.clocked = clock.now
	v, err := open(at, s)
	if err != nil {
		return err
	}
	defer v.store.Close()
	fill := equip
	if way.empty {
		fill = newOwner
	}
	past := !way.empty && !way.once
	if past {
		clock.at = time.Now().UTC().AddDate(0, 0, -historyDays)
	}
	password, err := fill(ctx, v.store)
	if err == nil && past {
		err = writeHistory(ctx, v, clock)
	}
	if err != nil {
		v.listener.Close()
		return err
	}
	told := ctx
	ctx, stop := context.WithCancel(told)
	defer stop()
	done := make(chan error, 1)
	go func() { done <- v.run(ctx) }()
	d := &demonstration{service: v, visitor: newVisitor(v), data: at.data, out: s.out}
	if way.empty {
		d.welcome(password)
	} else {
		err = d.prepare(ctx, password)
	}
	if err == nil && way.once {
		err = d.work(ctx)
	}
	if err != nil || way.once {
		if told.Err() != nil {
			err = errors.New("the demo was stopped before it was done")
		}
		stop()
	}
	return errors.Join(err, <-done)
}

// equip gives a fresh store its shop, its brake and its owner.
func equip(ctx context.Context, st *store.Store) (password string, err error) {
	for _, setting := range [][2]string{{shopName, demoShop}, {"units", "mm"}, {"set-up", "yes"}} {
		if err := st.KeepSetting(ctx, setting[0], setting[1]); err != nil {
			return "", err
		}
	}
	k, err := brake.Read(demoBrake)
	if err != nil {
		return "", err
	}
	if _, err := st.Keep(ctx, store.Brakes, store.Revision{Name: k.Name, JSON: demoBrake}); err != nil {
		return "", err
	}
	return newOwner(ctx, st)
}

// demonstration is one run of the demo.
type demonstration struct {
	service *service
	visitor *visitor
	data    string
	out     io.Writer
	codes   []string
}

// prepare issues the jobs through the owner's pages and prints where
// everything is.
func (d *demonstration) prepare(ctx context.Context, password string) error {
	if err := d.visitor.signIn(ctx, password); err != nil {
		return err
	}
	for _, j := range demoJobs {
		file, err := demoFiles.ReadFile(j.file)
		if err != nil {
			return err
		}
		code, err := d.visitor.issue(ctx, j, file)
		if err != nil {
			return fmt.Errorf("job %s: %w", j.number, err)
		}
		d.codes = append(d.codes, code)
	}
	sheet := filepath.Join(d.data, "traveler-"+demoJobs[0].number+".pdf")
	printed, err := d.visitor.fetch(ctx, "/t/"+d.codes[0]+"/sheet.pdf")
	if err != nil {
		return err
	}
	if err := writeFile(sheet, func(w io.Writer) error { _, err := w.Write(printed); return err }); err != nil {
		return err
	}
	d.greet(password, sheet)
	return nil
}

// welcome prints where the owner of an empty shop begins.
func (d *demonstration) welcome(password string) {
	fmt.Fprintf(d.out, "owner's pages:    %s\n", d.service.base)
	fmt.Fprintf(d.out, "owner's password: %s\n", password)
	fmt.Fprintf(d.out, "data folder:      %s\n", d.data)
}

func (d *demonstration) greet(password, sheet string) {
	fmt.Fprintf(d.out, "%s (an invented shop)\n\n", demoShop)
	d.welcome(password)
	fmt.Fprintf(d.out, "a traveler:       %s\n\nopen jobs, as the codes on their sheets open them:\n", sheet)
	for _, code := range d.codes {
		fmt.Fprintf(d.out, "%s/t/%s\n", d.service.base, code)
	}
}

// demoErrors are the errors of the readings that the demo logs, in degrees:
// invented, and the same on every run.
var demoErrors = []float64{-0.8, 0.3, -0.4, 0.6, -0.2, 0.1, -0.5, 0.4, 0.0, -0.3, 0.7, -0.1}

// work logs the bends of the first two pieces of every job through the
// service, and prints the review.
func (d *demonstration) work(ctx context.Context) error {
	logged := 0
	for _, code := range d.codes {
		n, err := d.logJob(ctx, code, logged)
		if err != nil {
			return err
		}
		logged += n
	}
	fmt.Fprintf(d.out, "\nlogged %d readings through the service\n\nreview\n", logged)
	return printReview(ctx, d.out, d.service.store)
}

// readingsPerJob is how many readings the demo logs of each job at the most:
// the first piece whole and the beginning of the run.
const readingsPerJob = 10

// logJob logs what comes next.
func (d *demonstration) logJob(ctx context.Context, code string, from int) (int, error) {
	for n := 0; ; n++ {
		state, err := d.visitor.state(ctx, code)
		if err != nil {
			return n, err
		}
		if state.Next == nil || n == readingsPerJob {
			return n, nil
		}
		r := reading{
			ID: fmt.Sprintf("demo-%s-%02d", code[:6], n), Piece: state.Next.Piece, Step: state.Next.Step,
			Measured: state.target(state.Next.Step) + demoErrors[(from+n)%len(demoErrors)], By: "AB",
			At: time.Now().UTC().Format(time.RFC3339),
		}
		if err := d.visitor.log(ctx, code, r); err != nil {
			return n, err
		}
	}
}

// printReview prints the accuracy by material, thickness and bar.
func printReview(ctx context.Context, w io.Writer, st *store.Store) error {
	cells, err := st.Cells(ctx, store.Choice{})
	if err != nil {
		return err
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "material\tmm\tbar\tn\tmean error\tspread\tin tolerance")
	for _, c := range cells {
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%s\t%s\t%d\n", c.Material, c.Thickness.Text(2), c.Bar, c.N, c.Mean.Text(2), c.Spread.Text(2),
			c.InTolerance)
	}
	return t.Flush()
}
