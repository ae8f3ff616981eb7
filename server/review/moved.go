package review

import (
	"fmt"
	"net/http"
	"net/url"
	"time"

	"brakeside/server/lessons"
	"brakeside/server/say"
)

// movedLine is a brake whose scale has moved, with the two answers to it.
type movedLine struct{ Brake, Words, Address string }

// movedLines are the brakes whose scale has moved and of which nobody has said yet
// what was done about it.
func (s *Section) movedLines(r *http.Request, brake string) ([]movedLine, error) {
	all, err := s.book.Moved(r.Context())
	var out []movedLine
	for _, m := range all {
		if brake == "" || brake == m.First.Brake {
			out = append(out, movedLine{m.First.Brake, s.movedWords(m), cellAddress(m.First.Brake)})
		}
	}
	return out, err
}

func (s *Section) movedWords(m lessons.Moved) string {
	way, by := "flatter", m.By
	if by < 0 {
		way, by = "further", -by
	}
	words := fmt.Sprintf("The scale of %s has moved by %s°: its bends come out %s than before.", say.Typed(m.First.Brake), by.Text(1), way)
	if at, err := time.Parse(time.RFC3339, m.First.Received); err == nil {
		words = fmt.Sprintf("The scale of %s has moved by %s°: by %s its bends had come to go %s than what was known of it.",
			m.First.Brake, by.Text(1), s.When(at), way)
	}
	return words + " Set its zero."
}

func cellAddress(brake string) string { return "/review/cell?" + url.Values{"brake": {brake}}.Encode() }
