package office

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"

	"brakeside/server/report"
	"brakeside/server/web"
)

// record gathers the inspection record of a sheet.
func (s *Section) record(r *http.Request) (report.Record, error) {
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return report.Record{}, err
	}
	readings, err := s.Store.Readings(r.Context(), kept.Traveler.Code)
	return report.Record{Sheet: kept.Traveler, Pieces: kept.Pieces(), Readings: readings, Written: s.Now(), Zone: s.Now().Location()}, err
}

// fileName makes a name of a file of what people type.
func fileName(job string) string { return strings.NewReplacer("/", "-", `\`, "-").Replace(job) }

// RecordPDF is the inspection record of a job for its customer.
func (s *Section) RecordPDF(w http.ResponseWriter, r *http.Request) error {
	record, err := s.record(r)
	if err != nil {
		return err
	}
	return web.WritePDF(w, web.Paper{Name: "record-" + fileName(record.Sheet.Job), At: record.Written, Pages: record.Pages()})
}

// RecordCSV is the same as CSV.
func (s *Section) RecordCSV(w http.ResponseWriter, r *http.Request) error {
	record, err := s.record(r)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := record.WriteCSV(&out, s.ListFormat(r)); err != nil {
		return fmt.Errorf("inspection record: %w", err)
	}
	name := "record-" + fileName(record.Sheet.Job) + ".csv"
	return web.Attach(w, name, web.Reply{Kind: web.CSVKind, Body: out.Bytes()})
}
