package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"time"

	"brakeside/server/chart"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/progress"
)

// Record is the inspection record of a job for its customer.
type Record struct {
	Sheet    *traveler.Traveler
	Readings []progress.Reading // all of the sheet, in their order
	Written  time.Time
	Zone     *time.Location // of the shop, for the times
}

// line is one inspected bend. What was corrected or taken back is not in it.
type line struct {
	piece, step                     int
	bend                            string
	nominal, tolerance, measured, o string
	place, when, by, result         string
}

func (r Record) lines() []line {
	var out []line
	for _, x := range progress.Counted(progress.Job{Traveler: r.Sheet, Readings: r.Readings}) {
		step, found := progress.StepOf(r.Sheet, x.Step)
		if !found {
			continue
		}
		out = append(out, line{
			piece: x.Piece, step: x.Step, bend: step.Bend,
			nominal: degrees(step.Target), tolerance: degrees(step.Tolerance), measured: degrees(x.Bend()),
			o: chart.Signed(x.Error.Deg()), place: x.Place, when: r.when(x), by: x.By, result: result(x, step),
		})
	}
	return out
}

// result says how the bend came out. A bend that was put right is said to be.
func result(x progress.Reading, step traveler.Step) string {
	in := "in tolerance"
	if max(x.Error, -x.Error) > step.Tolerance {
		in = "out of tolerance"
	}
	switch x.State {
	case progress.StateScrapped:
		return "scrapped"
	case progress.StateReworked:
		return in + ", reworked"
	}
	return in
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
		{"Material", t.Part.Material}, {"Thickness", t.Part.Thickness.Text(2) + " mm"}, {"Pieces", decimal(t.Quantity)},
		{"Bends in tolerance", r.share(lines)}, {"Sheet", t.Code}, {"Written", r.Written.In(r.Zone).Format("2006-01-02 15:04")},
	})
	p.line(body, draw.Regular, "Angles are bend angles: what the metal is turned through from flat. Error is measured less nominal.")
	p.heading("Bends")
	var rows [][]string
	for _, l := range lines {
		measured := l.measured
		if l.result != "in tolerance" {
			measured += " *"
		}
		rows = append(rows, []string{decimal(l.piece), decimal(l.step), l.bend, l.nominal, l.tolerance, measured, l.o, l.place, l.when, l.by})
	}
	if len(rows) == 0 {
		p.line(body, draw.Regular, "Nothing was measured.")
	} else {
		p.table(recordColumns, rows)
		p.y += 2
		for _, l := range lines {
			if l.result != "in tolerance" {
				p.line(body, draw.Regular, fmt.Sprintf("* piece %d, step %d: %s", l.piece, l.step, l.result))
			}
		}
	}
	p.room(24)
	p.y += 18
	p.page().Add(
		draw.Line{X1: margin, Y1: p.y, X2: margin + 70, Y2: p.y, Pen: draw.Grid},
		draw.Text{X: margin, Y: p.y + 4, Size: 3, Words: "inspected by, date"},
	)
	return p.finish(fmt.Sprintf("Job %s, part %s rev %s", t.Job, t.Part.Number, t.Part.Revision))
}

func (r Record) share(lines []line) string {
	n := 0
	for _, l := range lines {
		if strings.HasPrefix(l.result, "in tolerance") {
			n++
		}
	}
	return fmt.Sprintf("%d of %d", n, len(lines))
}

// recordNames are the columns of the record as CSV. Angles are degrees of bend,
// times those of the shop.
var recordNames = []string{
	"job", "part", "revision", "piece", "step", "bend",
	"nominal_deg", "tolerance_deg", "measured_deg", "error_deg", "where", "when", "by", "result",
}

// WriteCSV writes the record as CSV (RFC 4180), texts that a spreadsheet would
// take for a formula led by an apostrophe.
func (r Record) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(recordNames); err != nil {
		return err
	}
	t := r.Sheet
	for _, l := range r.lines() {
		row := []string{harmless(t.Job), harmless(t.Part.Number), harmless(t.Part.Revision), decimal(l.piece), decimal(l.step), harmless(l.bend),
			l.nominal, l.tolerance, l.measured, strings.TrimPrefix(l.o, "+"), harmless(l.place), l.when, harmless(l.by), l.result}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// harmless makes a text harmless for a spreadsheet, which takes one that begins
// with one of these signs for a formula.
func harmless(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r\n", rune(text[0])) {
		return "'" + text
	}
	return text
}
