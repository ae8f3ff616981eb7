package report

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"

	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/server/table"
)

// csvColumn is one column of the export.
type csvColumn struct {
	name  string
	value func(store.Sample) string
}

// csvColumns of the export, in order. Angles are degrees of bend unless the name
// says otherwise, lengths millimetres, times UTC; an empty cell means that
// nothing was said.
var csvColumns = []csvColumn{
	{"number", func(s store.Sample) string { return strconv.FormatInt(s.Reading.Seq, 10) }},              // the service's own order
	{"received", func(s store.Sample) string { return s.Reading.Received }},                              // the service's clock
	{"measured_at", func(s store.Sample) string { return s.Reading.At }},                                 // the phone's clock
	{"job", func(s store.Sample) string { return table.Harmless(s.Job) }},                                //
	{"part", func(s store.Sample) string { return table.Harmless(s.Part) }},                              //
	{"revision", func(s store.Sample) string { return table.Harmless(s.Revision) }},                      //
	{"material", func(s store.Sample) string { return table.Harmless(s.Material) }},                      // id of the material
	{"thickness_mm", func(s store.Sample) string { return s.Thickness.Text(3) }},                         // as planned
	{"brake", func(s store.Sample) string { return table.Harmless(s.Brake) }},                            //
	{"bar", func(s store.Sample) string { return table.Harmless(s.Bar) }},                                //
	{"piece", func(s store.Sample) string { return strconv.Itoa(s.Reading.Piece) }},                      //
	{"step", func(s store.Sample) string { return strconv.Itoa(s.Reading.Step) }},                        //
	{"target_deg", func(s store.Sample) string { return s.Target.Text(2) }},                              //
	{"tolerance_deg", func(s store.Sample) string { return s.Tolerance.Text(2) }},                        // either way
	{"bend_deg", func(s store.Sample) string { return s.Reading.Bend().Text(2) }},                        // measured, as a bend angle
	{"error_deg", func(s store.Sample) string { return s.Reading.Error.Text(2) }},                        // + is over-bent
	{"in_tolerance", func(s store.Sample) string { return yesNo(s.InTolerance) }},                        //
	{"counts", func(s store.Sample) string { return yesNo(s.Teaches && !s.Corrected) }},                  // in the means of the review
	{"stop_bend_deg", func(s store.Sample) string { return s.StopBend.Text(2) }},                         // the stop used, as a bend angle
	{"measured_deg", func(s store.Sample) string { return s.Reading.Measured.Text(2) }},                  // as read off the protractor
	{"given_as", func(s store.Sample) string { return table.Harmless(s.Reading.GivenAs) }},               // bend or opening
	{"place", func(s store.Sample) string { return table.Harmless(s.Reading.Place) }},                    // left, middle or right
	{"state", func(s store.Sample) string { return table.Harmless(s.Reading.State) }},                    // as-bent, reworked or scrapped
	{"flags", func(s store.Sample) string { return table.Harmless(strings.Join(s.Reading.Flags, " ")) }}, //
	{"by", func(s store.Sample) string { return table.Harmless(s.Reading.By) }},                          // initials
	{"note", func(s store.Sample) string { return table.Harmless(s.Reading.Note) }},                      //
	{"leg_mm", func(s store.Sample) string { return length(s.Reading.Leg) }},                             // measured
	{"sheet_mm", func(s store.Sample) string { return length(s.Reading.Thickness) }},                     // thickness measured
	{"nose_setback_left_mm", func(s store.Sample) string { return length(s.Reading.NoseSetback[0]) }},    //
	{"nose_setback_right_mm", func(s store.Sample) string { return length(s.Reading.NoseSetback[1]) }},   //
	{"pack", func(s store.Sample) string { return table.Harmless(s.Reading.Pack) }},                      //
	{"tool", func(s store.Sample) string { return table.Harmless(s.Reading.Tool) }},                      //
	{"id", func(s store.Sample) string { return table.Harmless(s.Reading.ID) }},                          //
	{"corrects", func(s store.Sample) string { return table.Harmless(s.Reading.Corrects) }},              // id of the reading it replaces
	{"corrected", func(s store.Sample) string { return yesNo(s.Corrected) }},                             // replaced by a later one
}

// WriteCSV writes every reading with its context as a list, oldest first. Texts that a
// spreadsheet would take for a formula are led by an apostrophe.
func WriteCSV(ctx context.Context, w io.Writer, f table.Format, from *store.Store) error {
	row := make([]string, len(csvColumns))
	columns := make([]table.Column, len(csvColumns))
	for i, c := range csvColumns {
		columns[i] = table.Column{Name: c.name, Figure: table.Figures(c.name)}
	}
	out, err := table.New(w, f, columns)
	if err != nil {
		return fmt.Errorf("write the header: %w", err)
	}
	err = from.Export(ctx, func(sample store.Sample) error {
		for i, c := range csvColumns {
			row[i] = c.value(sample)
		}
		return out.Row(row...)
	})
	if err != nil {
		return fmt.Errorf("write the readings: %w", err)
	}
	return out.Flush()
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func length(l *unit.Micron) string {
	if l == nil {
		return ""
	}
	return l.Text(3)
}
