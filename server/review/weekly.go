package review

import (
	"net/http"
	"time"

	"brakeside/server/report"
	"brakeside/server/web"
)

// WeeklyPDF is the review of the last seven days on one page.
func (s *Section) WeeklyPDF(w http.ResponseWriter, r *http.Request) error {
	week, err := report.WeekOf(r.Context(), s.Store, s.book, s.Now())
	if err != nil {
		return err
	}
	return web.WritePDF(w, web.Paper{Name: "week-" + week.At.Format(time.DateOnly), At: week.At, Pages: week.Pages()})
}
