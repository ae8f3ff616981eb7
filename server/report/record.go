package report

import (
	"fmt"
	"io"
	"strings"
	"time"

	"brakeside/server/chart"
	"brakeside/server/table"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/progress"
)

// Record is the inspection record of a job for its customer.
type Record struct {
	Sheet    *traveler.Traveler
	Pieces   int                // to be made as it stands now
	Readings []progress.Reading // all of the sheet, in their order
	Written  time.Time
	Zone     *time.Location // of the shop, for the times
}

func (r Record) lines() []line {
	var out []line
	for _, x := range progress.Counted(progress.Job{Traveler: r.Sheet, Readings: r.Readings}) {
		step, found := progress.StepOf(r.Sheet, x.Step)
		if !found {
			continue
		}
		out = append(out, line{
			piece: x.Piece, step: x.Step, bend: step.BendWord(),
			nominal: degrees(step.Target), tolerance: degrees(step.Tolerance), measured: degrees(x.Bend()),
			o: chart.Signed(x.Error.Deg()), place: x.Place, when: r.when(x), by: x.By, result: result(x, step),
			off: x.Error, made: x.State != progress.StateReworked, good: within(x, step), teaches: x.Teaches(),
		})
	}
	return out
}

// when is the phone's time where it gave one, else the service's.
func (r Record) when(x progress.Reading) string {
	for _, text := range []string{x.At, x.Received} {
		if at, err := time.Parse(time.RFC3339, text); err == nil {
			return at.In(r.Zone).Format("2006-01-02 15:04")
		}
	}
	return ""
}

var recordColumns = []column{
	{"piece", 13, true}, {"step", 12, true}, {"bend", 18, false},
	{"nominal °", 21, true}, {"± °", 12, true}, {"measured °", 24, true}, {"error °", 18, true},
	{"where", 14, false}, {"when", 34, false}, {"by", inner - 166, false},
}

// Pages lays the record out.
func (r Record) Pages() []*draw.Page {
	t := r.Sheet
	words := fmt.Sprintf("Measured bend angles of job %s, part %s revision %s.", t.Job, t.Part.Number, t.Part.Revision)
	p := newPaper("Inspection record", words)
	p.line(7, draw.Bold, t.Shop)
	p.line(5, draw.Bold, "Inspection record")
	lines := r.lines()
	p.facts([]Fact{
		{"Job", t.Job}, {"Part", t.Part.Number + " rev " + t.Part.Revision}, {"Title", t.Part.Title},
		{"Material", t.Part.Material}, {"Thickness", t.Part.Thickness.Text(2) + " mm"}, {"Pieces", decimal(r.Pieces)},
		{"Bends in tolerance", share(lines)},
		{"Sheet", "begins with " + t.Code[:min(6, len(t.Code))]}, {"Written", r.Written.In(r.Zone).Format("2006-01-02 15:04")},
	})
	p.line(body, draw.Regular, "Angles are bend angles: what the metal is turned through from flat. Error is measured less nominal.")
	p.bends(lines)
	p.room(24)
	p.y += 18
	p.page().Add(
		draw.Line{X1: margin, Y1: p.y, X2: margin + 70, Y2: p.y, Pen: draw.Grid},
		draw.Text{X: margin, Y: p.y + 4, Size: 3, Words: "inspected by, date"},
	)
	return p.finish(fmt.Sprintf("Job %s, part %s rev %s", t.Job, t.Part.Number, t.Part.Revision))
}

// bends writes what was measured: bend by bend, or, of a large run, summed up by
// bend and with a line a piece. What there is more to say of stands below.
func (p *paper) bends(lines []line) {
	p.heading("Bends")
	switch {
	case len(lines) == 0:
		p.line(body, draw.Regular, "Nothing was measured.")
		return
	case len(lines) <= mostListed:
		p.table(recordColumns, listed(lines))
	default:
		p.table(bendColumns, summary(lines))
		p.heading("Measured, degrees")
		var steps []int
		for _, s := range byBend(lines) {
			steps = append(steps, s.step)
		}
		p.byPiece(lines, steps)
	}
	p.y += 2
	for _, l := range lines {
		if l.noted() {
			p.line(body, draw.Regular, fmt.Sprintf("* piece %d, step %d: %s", l.piece, l.step, l.result))
		}
	}
}

// listed gives a row for every measured bend.
func listed(lines []line) [][]string {
	var rows [][]string
	for _, l := range lines {
		measured := l.measured
		if l.noted() {
			measured += " *"
		}
		rows = append(rows, []string{decimal(l.piece), decimal(l.step), l.bend, l.nominal, l.tolerance, measured, l.o, l.place, l.when, l.by})
	}
	return rows
}

// recordNames are the columns of the record as CSV. Angles are degrees of bend,
// times those of the shop.
var recordNames = []string{
	"job", "part", "revision", "piece", "step", "bend",
	"nominal_deg", "tolerance_deg", "measured_deg", "error_deg", "where", "when", "by", "result",
}

// WriteCSV writes the record as a list, texts that a spreadsheet would take for a
// formula led by an apostrophe.
func (r Record) WriteCSV(w io.Writer, f table.Format) error {
	var columns []table.Column
	for _, name := range recordNames {
		columns = append(columns, table.Column{Name: name, Figure: table.Figures(name)})
	}
	out, err := table.New(w, f, columns)
	if err != nil {
		return err
	}
	t := r.Sheet
	for _, l := range r.lines() {
		row := []string{
			table.Harmless(t.Job), table.Harmless(t.Part.Number), table.Harmless(t.Part.Revision), decimal(l.piece), decimal(l.step),
			table.Harmless(l.bend),
			l.nominal, l.tolerance, l.measured, strings.TrimPrefix(l.o, "+"), table.Harmless(l.place), l.when, table.Harmless(l.by), l.result,
		}
		if err := out.Row(row...); err != nil {
			return err
		}
	}
	return out.Flush()
}
