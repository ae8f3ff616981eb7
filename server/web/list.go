package web

import (
	"cmp"
	"net/http"

	"brakeside/server/store"
	"brakeside/server/table"
)

// CSVKind is the media type of a list (RFC 4180).
const CSVKind = "text/csv; charset=utf-8; header=present"

// ListFormat is the format in which a list is asked for: for programs, or with
// for=spreadsheet in the address for the spreadsheets of the shop.
func (s *Site) ListFormat(r *http.Request) table.Format {
	if r.URL.Query().Get("for") != "spreadsheet" {
		return table.Plain
	}
	return table.Spreadsheet(cmp.Or(s.Setting(r.Context(), store.SettingDecimal), "."))
}

// SendList sends a list to be saved under a name.
func (s *Site) SendList(w http.ResponseWriter, r *http.Request, name string, columns []table.Column, rows [][]string) error {
	list, err := table.Written(s.ListFormat(r), columns, rows)
	if err != nil {
		return err
	}
	return Attach(w, name+".csv", Reply{Kind: CSVKind, Body: list})
}
