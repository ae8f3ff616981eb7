package parts_test

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/lessons"
	"brakeside/server/store"
)

var letters = regexp.MustCompile(`(?i:blank) ([A-Z]{4} [A-Z]{4})\b`)

// lettersAt are those of the blank that an address draws.
func lettersAt(s *shoptest.Shop, path string, session *http.Cookie) string {
	s.Helper()
	answer, body := s.Get(path, session)
	found := letters.FindStringSubmatch(body)
	if answer.StatusCode != http.StatusOK || found == nil {
		s.Fatalf("GET %s = %d, without letters of a blank", path, answer.StatusCode)
	}
	return found[1]
}

// settle keeps the figures of the shop.
func settle(s *shoptest.Shop, file string) {
	s.Helper()
	if _, err := s.Store.Keep(context.Background(), store.Materials, store.Revision{Name: lessons.ShopFigures, JSON: []byte(file)}); err != nil {
		s.Fatal(err)
	}
}

// Where the blank depends on the bar its page asks for the brake and nothing is
// drawn for the cutter without it; with it the drawing is that of the sheet. What
// is drawn of a job stays as it was issued, whatever the shop settles later.
func TestOneBlankAJob(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	seq := s.Send("/parts", url.Values{"kind": {"file"}, "act": {"ready"},
		"text": {`{"number":"UB-9","revision":"A","material":"mild-steel","thickness":1.5,"profile":{"length":300,"legs":[34,60,34],"bends":[90,90]}}`}}, owner)
	page, drawn := "/parts/"+seq, "/parts/"+seq+"/blank.dxf"
	root, _ := s.OwnerPage(owner, page)
	if strings.Contains(shoptest.WordsIn(root), "depends on the bar") {
		t.Error("the page asks for a brake where the blank is the same on all")
	}
	before := lettersAt(s, drawn, owner)

	settle(s, `{"radii":[{"bar":"wide","radius":2.5},{"bar":"narrow","radius":2.4}]}`)
	root, body := s.OwnerPage(owner, page)
	if !strings.Contains(shoptest.WordsIn(root), "The blank depends on the bar that bends it.") || strings.Contains(body, `href="`+drawn) {
		t.Error("the page does not ask for the brake, or offers the drawing without one")
	}
	if answer, _ := s.Get(drawn, owner); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("without a brake the drawing = %d, want 422", answer.StatusCode)
	}
	planned := lettersAt(s, drawn+"?brake="+s.NewestBrake(), owner)
	if planned == before {
		t.Error("the blank does not depend on the bar: this test shows nothing")
	}

	job := s.IssueFor(seq, "J-900", owner)
	settle(s, `{}`)
	for _, kind := range []string{"dxf", "svg"} {
		if got := lettersAt(s, "/jobs/"+job+"/blank."+kind, owner); got != planned {
			t.Errorf("the %s of the job is of blank %s, the plan of %s", kind, got, planned)
		}
	}
	if got := lettersAt(s, drawn, owner); got != before {
		t.Errorf("the part is drawn as %s again, want %s", got, before)
	}
	answer, body := s.Get("/jobs/"+job+"/blank.pdf", owner)
	if answer.StatusCode != http.StatusOK || !strings.HasPrefix(body, "%PDF") ||
		!strings.Contains(answer.Header.Get("Content-Disposition"), "J-900-UB-9-blank.pdf") {
		t.Errorf("the PDF of the job = %d %q", answer.StatusCode, answer.Header)
	}
}
